"""A rule set compiled for incremental chaining: which rules wait for what.

A cell together with one of its states is an atom; every other conjunct of a rule is a test,
shared by all rules that contain it. A rule fires when it lacks none of its atoms and tests.

The sharing of tests follows Forgy, "Rete: a fast algorithm for the many pattern/many object pattern
match problem", Artificial Intelligence 19 (1982); as there are no variables, no joins are needed.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from typing import TypeGuard, TypeVar

from diag.logic.compiled import Truth, compiled
from diag.model.expression import And, Condition, Is
from diag.model.frozen import frozen
from diag.model.rulebook import Fact, Figure, Rule, Sign
from diag.reason.chain.dependency_order import (
    DependencyOrder,
    Numbers,
    cell_name,
    in_order,
    inverse,
    mentioned,
)

Item = TypeVar("Item", bound=Hashable)


@frozen
class Network:
    """The compiled rules; cells, atoms, tests, rules and parts go by number."""

    rules: tuple[Rule, ...]
    figures: Mapping[str, Figure]
    order: DependencyOrder
    facts: tuple[Fact, ...]
    """Atom to fact for the atoms that rules conclude: they come first, in order of parts."""
    cell_of: Numbers
    """Atom to cell."""
    state_of: tuple[str, ...]
    """Atom to state."""
    atom: tuple[Mapping[str, int], ...]
    """Cell to state to atom."""
    circle: Numbers
    """Concluded atom to its part where that is a circle, else -1."""
    head: Numbers
    """Rule to the atom that it concludes."""
    concluding: tuple[Numbers, ...]
    """Atom to the rules that conclude it."""
    atoms_in: tuple[Numbers, ...]
    """Rule to the atoms that it needs."""
    waiting: tuple[Numbers, ...]
    """Atom to the rules that need it."""
    tests_in: tuple[Numbers, ...]
    """Rule to the tests that it needs."""
    tested: tuple[Numbers, ...]
    """Test to the rules that need it."""
    tests: tuple[Condition, ...]
    truths: tuple[Truth, ...]
    """Test to its compiled form."""
    tests_of: tuple[Numbers, ...]
    """Cell to the tests that mention it."""
    reads: tuple[Numbers, ...]
    """Test to the cells that it mentions."""
    looping: tuple[Numbers, ...]
    """Test to the atoms concluded by it that stand in a circle with a cell that it mentions."""
    _compiled: dict[int, tuple[Condition, tuple[str, ...], Truth | None]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def truth_of(self, condition: Condition) -> Truth | None:
        """Return a condition's compiled form, made once; None where a name in it has no cell."""
        return self._known(condition)[2]

    def names_in(self, condition: Condition) -> tuple[str, ...]:
        """Return what a condition mentions, each once, looked through once."""
        return self._known(condition)[1]

    def _known(self, condition: Condition) -> tuple[Condition, tuple[str, ...], Truth | None]:
        known = self._compiled.get(id(condition))
        if known is None:
            cell, names = self.order.cell, mentioned(condition)
            able = all(name in cell for name in names)
            # The condition is kept beside it, so that no other one comes to bear its number.
            known = condition, names, compiled(condition, cell) if able else None
            self._compiled[id(condition)] = known
        return known


def compile_rules(
    rules: Sequence[Rule],
    figures: Mapping[str, Figure] | None = None,
    signs: Mapping[str, Sign] | None = None,
) -> Network:
    """Compile a rule set.

    Raises `CircleFound` for a circle through `not` or of figures, and `ValueError` for a rule
    that concludes what is asked or computed.
    """
    figures, signs = figures or {}, signs or {}
    asked = {name for name, sign in signs.items() if sign.is_finding}
    for rule in rules:
        if rule.then.kind == "sign" and (rule.then.name in asked or rule.then.name in figures):
            raise ValueError(
                f"rule `{rule.id}` concludes `{rule.then.name}`, which is asked or computed"
            )
    bodies = [_once(tuple(conjuncts(rule.when))) for rule in rules]
    return _linked(tuple(rules), bodies, figures, in_order(rules, bodies, figures, signs))


def _linked(
    rules: tuple[Rule, ...],
    bodies: Sequence[tuple[Condition, ...]],
    figures: Mapping[str, Figure],
    order: DependencyOrder,
) -> Network:
    cell, part = order.cell, order.part
    heads = [(cell[cell_name(rule.then)], rule.then.state) for rule in rules]
    fact = {pair: rule.then for pair, rule in zip(heads, rules, strict=True)}
    concluded = sorted(fact, key=lambda pair: part[pair[0]])
    pairs = [[(cell[c.name], c.states[0]) for c in body if is_atom(c)] for body in bodies]
    atom = _numbered((*concluded, *(pair for body in pairs for pair in body)))
    test: dict[Condition, int] = {}
    atoms_in = tuple(tuple(atom[pair] for pair in body) for body in pairs)
    tests_in = tuple(_tests_in(body, test) for body in bodies)
    head = tuple(atom[pair] for pair in heads)
    tested = inverse(tests_in, len(test))
    mentions = [[cell[name] for name in mentioned(condition)] for condition in test]
    return Network(
        rules=rules,
        figures=figures,
        order=order,
        facts=tuple(fact[pair] for pair in concluded),
        cell_of=tuple(place for place, _ in atom),
        state_of=tuple(state for _, state in atom),
        atom=_by_state(atom, len(cell)),
        circle=tuple(part[p] if part[p] in order.circles else -1 for p, _ in concluded),
        head=head,
        concluding=inverse(((number,) for number in head), len(atom)),
        atoms_in=atoms_in,
        waiting=inverse(atoms_in, len(atom)),
        tests_in=tests_in,
        tested=tested,
        tests=tuple(test),
        truths=tuple(compiled(condition, cell) for condition in test),
        tests_of=inverse(mentions, len(cell)),
        reads=tuple(map(tuple, mentions)),
        looping=_looping(order, [place for place, _ in concluded], head, tested, mentions),
    )


def _tests_in(body: Iterable[Condition], test: dict[Condition, int]) -> Numbers:
    """Return the numbers of a rule's tests; a new test gets the next one."""
    return tuple(test.setdefault(one, len(test)) for one in body if not is_atom(one))


def _by_state(atom: Mapping[tuple[int, str], int], cells: int) -> tuple[dict[str, int], ...]:
    """Return the number of each atom, cell by cell, by its state."""
    states: list[dict[str, int]] = [{} for _ in range(cells)]
    for (place, state), number in atom.items():
        states[place][state] = number
    return tuple(states)


def _looping(
    order: DependencyOrder,
    cell_of: Sequence[int],
    head: Numbers,
    tested: Sequence[Numbers],
    mentions: Sequence[Sequence[int]],
) -> tuple[Numbers, ...]:
    """Return, for each test, the atoms that are concluded by it from a cell of their own circle."""
    found = []
    for rules, places in zip(tested, mentions, strict=True):
        under = {order.part.get(place) for place in places} & order.circles
        heads = dict.fromkeys(head[rule] for rule in rules)
        found.append(tuple(atom for atom in heads if order.part[cell_of[atom]] in under))
    return tuple(found)


def conjuncts(condition: Condition) -> Iterator[Condition]:
    """Yield what a condition joins by `and`, at any depth, in the order written."""
    for item in condition.items if isinstance(condition, And) else (condition,):
        if isinstance(item, And):
            yield from conjuncts(item)
        else:
            yield item


def is_atom(conjunct: Condition) -> TypeGuard[Is]:
    """Say whether a conjunct asks for one state of one name."""
    return isinstance(conjunct, Is) and len(conjunct.states) == 1


def _once(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return items each once, in order; to hash a condition is to hash all of it."""
    return tuple(dict.fromkeys(items)) if len(items) > 1 else items


def _numbered(items: Iterable[Item]) -> dict[Item, int]:
    return {item: number for number, item in enumerate(dict.fromkeys(items))}
