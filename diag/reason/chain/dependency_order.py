"""Where each name of a rule set is held, and in which order the names are settled.

Every name is a cell. What is computed or concluded is settled part by part: each part comes
after what it rests on, and only in a circle do the cells of one part rest on one another.

Strata as in Apt, Blair and Walker, "Towards a theory of declarative knowledge" (1988), refined to
strongly connected parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain

from diag.logic.graph import (
    Circle,
    denial_within,
    figure_circle,
    parts_of,
    sign_graph,
    stratify,
)
from diag.logic.rests_on import directly_below
from diag.model.expression import Condition, names_in
from diag.model.frozen import frozen
from diag.model.rulebook import Fact, Figure, Rule

Numbers = tuple[int, ...]


class CircleFound(ValueError):
    """Raised for a rule set that cannot be settled layer by layer; `circle` names it."""

    def __init__(self, circle: Circle) -> None:
        super().__init__(str(circle))
        self.circle = circle


@frozen
class DependencyOrder:
    """The cells of a rule set and the parts in which they are settled, all by number."""

    cell: Mapping[str, int]
    """Finding, sign, figure, `unit NAME`, `danger: NAME` or `excluded: NAME` to cell."""
    names: tuple[str, ...]
    """Cell to that name."""
    parts: tuple[Numbers, ...]
    """The cells that are computed or concluded, each part after what it rests on."""
    part: Mapping[int, int]
    """Cell to part; what is asked is in none."""
    circles: frozenset[int]
    """The parts whose cells rest on one another."""
    under: tuple[Numbers, ...]
    """Part to the other parts that it mentions cells of."""
    readers: tuple[Numbers, ...]
    """Cell to the parts that mention it."""
    figures_after: tuple[Numbers, ...]
    """Cell to the cells of the figures that rest on it, in the order of computing."""


def cell_name(fact: Fact) -> str:
    """Return where a fact is held: a sign under its name, an end under kind and name.

    >>> cell_name(Fact("danger", "live part", "present"))
    'danger: live part'
    """
    return fact.name if fact.kind == "sign" else f"{fact.kind}: {fact.name}"


def mentioned(source: Condition | Figure) -> tuple[str, ...]:
    """Return the cell names that a condition or a figure mentions, each once."""
    return names_in(*source.terms) if isinstance(source, Figure) else names_in(source)


def in_order(
    rules: Sequence[Rule],
    bodies: Iterable[Iterable[Condition]],
    figures: Mapping[str, Figure],
    signs: Iterable[str] = (),
) -> DependencyOrder:
    """Give each name a cell and each computed or concluded cell its part.

    `bodies` are the conjuncts of each rule. Raises `CircleFound` for rules or figures that
    cannot be settled part by part.
    """
    groups = _groups(rules, figures)
    used = [[name for condition in body for name in mentioned(condition)] for body in bodies]
    under = [mentioned(figure) for figure in figures.values()]
    names = tuple(dict.fromkeys(chain(*used, *under, *groups, signs)))
    cell = {name: number for number, name in enumerate(names)}
    parts = tuple(tuple(cell[name] for name in group) for group in groups)
    part = {place: number for number, places in enumerate(parts) for place in places}
    heads = [*figures, *(cell_name(rule.then) for rule in rules)]
    below: list[list[int]] = [[] for _ in parts]
    for head, below_head in zip(heads, [*under, *used], strict=True):
        below[part[cell[head]]] += [cell[name] for name in below_head]
    circles = [n for n, places in enumerate(parts) if not set(places).isdisjoint(below[n])]
    return DependencyOrder(
        cell=cell,
        names=names,
        parts=parts,
        part=part,
        circles=frozenset(circles),
        under=tuple(
            tuple({part[place] for place in places if place in part} - {number})
            for number, places in enumerate(below)
        ),
        readers=inverse(below, len(names)),
        figures_after=_figures_after(below[: len(figures)], parts, len(names)),
    )


def _groups(rules: Sequence[Rule], figures: Mapping[str, Figure]) -> list[tuple[str, ...]]:
    """Return the names that are settled together: figures, then signs, then what ends a line."""
    sums = parts_of(directly_below((), figures)).order
    graph = sign_graph(rules)
    signs = parts_of(graph)
    if figure_circle(figures) or denial_within(graph, signs):
        found = stratify(rules, figures)
        assert isinstance(found, Circle)
        raise CircleFound(found)
    ends = dict.fromkeys(cell_name(rule.then) for rule in rules if rule.then.kind != "sign")
    return [*sums, *signs.order, *((name,) for name in ends)]


def inverse(lists: Iterable[Iterable[int]], size: int) -> tuple[Numbers, ...]:
    """Turn lists of numbers below `size` round: number to the lists that hold it, each once.

    >>> inverse([[0, 2], [2, 2]], 3)
    ((0,), (), (0, 1))
    """
    found: list[dict[int, None]] = [{} for _ in range(size)]
    for number, entries in enumerate(lists):
        for entry in entries:
            found[entry][number] = None
    return tuple(tuple(numbers) for numbers in found)


def _figures_after(
    below: Sequence[Sequence[int]], parts: Sequence[Numbers], size: int
) -> tuple[Numbers, ...]:
    """Follow the figures up from each cell; figures come one a part, in order of computing."""
    under: dict[int, set[int]] = {}
    after: list[list[int]] = [[] for _ in range(size)]
    for (figure,), direct in zip(parts, below, strict=False):
        under[figure] = set(direct).union(*(under.get(place, ()) for place in direct))
        for place in under[figure]:
            after[place].append(figure)
    return tuple(tuple(figures) for figures in after)
