"""Forward chaining over readings, one at a time, with every support kept.

Every conclusion keeps its supports, as a justification-based truth maintenance system does (Doyle,
"A truth maintenance system", Artificial Intelligence 12, 1979).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from diag.logic.evaluate import NO_NAMES, Outcome, evaluate, grounds
from diag.logic.figure import Held, work_out_figure
from diag.model.expression import Condition
from diag.model.frozen import frozen
from diag.model.rulebook import Fact, Figure, Rule, UnitData, Value
from diag.reason.chain.dependency_order import cell_name
from diag.reason.chain.memory import WorkingMemory
from diag.reason.chain.network import Network
from diag.reason.chain.relevance import Relevance


@frozen
class Changes:
    """What one step changed: facts in the order in which they came or went, figures by id."""

    added: tuple[Fact, ...] = ()
    removed: tuple[Fact, ...] = ()
    figures: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.added or self.removed or self.figures)


NO_CHANGES = Changes()


@frozen
class Support:
    """One rule that concludes a fact, and the values on which it stands."""

    rule: Rule
    used: Mapping[str, Held]


class Chain:
    """The conclusions of a rule set about one unit, kept up to date reading by reading.

    The conclusions are the least fixpoint of the rules over the readings and the unit's data,
    so that the order of the readings never matters, and a reading withdrawn leaves nothing
    behind. A sign may have several states where rules contradict one another: all are kept.
    """

    __slots__ = ("_loose", "_memory", "_network", "_relevance", "_told")

    def __init__(self, network: Network, unit: UnitData | None = None) -> None:
        self._network = network
        self._told: dict[str, Value] = {}
        self._loose: dict[str, Held] = {}
        """What is known under names that no rule mentions."""
        self._memory = WorkingMemory(network, self)
        self._relevance = Relevance(network, self._memory.cells)
        for name, given in (unit.data if unit else {}).items():
            self._put(f"unit {name}", given)
        self._memory.start()

    def copy(self) -> Chain:
        """Return an independent copy, to try out what an answer would change."""
        other = Chain.__new__(Chain)
        other._network = self._network
        other._told, other._loose = self._told.copy(), self._loose.copy()
        other._memory = self._memory.copy(other)
        other._relevance = Relevance(other._network, other._memory.cells)
        return other

    def tell(self, finding: str, value: Value) -> Changes:
        """Take a reading, or correct the one that was told before.

        Raises `ValueError` for the name of something that is concluded or computed.
        """
        return self.tell_all({finding: value})

    def tell_all(self, readings: Mapping[str, Value]) -> Changes:
        """Take several readings as one step; see `tell`."""
        order = self._network.order
        for finding in readings:
            if order.cell.get(finding) in order.part:
                raise ValueError(f"`{finding}` follows from the rules: it cannot be told")
        for finding, value in readings.items():
            if self._told.get(finding) != value:
                self._told[finding] = value
                self._put(finding, frozenset((value,)) if isinstance(value, str) else value)
        return self._settled()

    def withdraw(self, finding: str) -> Changes:
        """Take a reading back, as if it had never been told."""
        if self._told.pop(finding, None) is not None:
            self._put(finding, None)
        return self._settled()

    def _put(self, name: str, held: Held | None) -> None:
        self._relevance.forget()
        place = self._network.order.cell.get(name)
        if place is not None:
            self._memory.put(place, held)
        elif held is not None:
            self._loose[name] = held
        else:
            del self._loose[name]

    def _settled(self) -> Changes:
        memory, network = self._memory, self._network
        held_before, figures_before = memory.settle()
        if not held_before and not figures_before:
            return NO_CHANGES
        turned = [
            (network.facts[atom], was)
            for atom, was in held_before.items()
            if memory.held[atom] != was
        ]
        return Changes(
            added=tuple(fact for fact, was in turned if not was),
            removed=tuple(fact for fact, was in turned if was),
            figures=tuple(
                network.order.names[place]
                for place, old in figures_before.items()
                if memory.cells[place] != old
            ),
        )

    @property
    def told(self) -> Mapping[str, Value]:
        """The readings as they stand."""
        return MappingProxyType(self._told)

    def value(self, name: str) -> Held | None:
        """Return what is known of a finding, sign, figure or datum of the unit."""
        place = self._network.order.cell.get(name)
        return self._loose.get(name) if place is None else self._memory.cells[place]

    def figure(self, name: str) -> Figure | None:
        """Return the figure of that name, if it is one."""
        return self._network.figures.get(name)

    def trouble(self, name: str) -> str:
        """Return why a figure has no value although all its readings are known, else nothing."""
        figure = self.figure(name)
        try:
            if figure:
                work_out_figure(figure, self)
        except ValueError as error:
            return str(error)
        return ""

    def states(self, sign: str) -> frozenset[str]:
        """Return the states of a sign; a choice that was told has the one that was told."""
        held = self.value(sign)
        return held if isinstance(held, frozenset) else NO_NAMES

    @property
    def facts(self) -> dict[Fact, tuple[Support, ...]]:
        """Each fact and its supports, both in the order of the rules."""
        found: dict[Fact, list[Support]] = {}
        for number, lack in enumerate(self._memory.lack):
            if not lack:
                support = self._support(number)
                found.setdefault(support.rule.then, []).append(support)
        return {fact: tuple(supports) for fact, supports in found.items()}

    def supports(self, fact: Fact) -> tuple[Support, ...]:
        """Return the supports of one fact, in the order of the rules; none where it is not held."""
        network = self._network
        place = network.order.cell.get(cell_name(fact))
        atom = None if place is None else network.atom[place].get(fact.state)
        rules = () if atom is None else network.concluding[atom]
        return tuple(self._support(rule) for rule in rules if not self._memory.lack[rule])

    def _support(self, number: int) -> Support:
        network = self._network
        used: dict[str, Held] = {}
        for atom in network.atoms_in[number]:
            name = network.order.names[network.cell_of[atom]]
            used[name] = self.states(name)
        for test in network.tests_in[number]:
            used.update(grounds(evaluate(network.tests[test], _Known(self))))
        return Support(network.rules[number], used)

    @property
    def dangers(self) -> tuple[str, ...]:
        """The dangers that are present, in the order of the rules."""
        return self._ends("danger")

    @property
    def excluded(self) -> tuple[str, ...]:
        """The causes that are ruled out, in the order of the rules."""
        return self._ends("excluded")

    @property
    def impossible(self) -> tuple[Support, ...]:
        """The rules by which readings cannot be true together, with the values they stand on."""
        network = self._network
        return tuple(
            self._support(number)
            for number, lack in enumerate(self._memory.lack)
            if not lack and network.rules[number].then.kind == "impossible"
        )

    def _ends(self, kind: str) -> tuple[str, ...]:
        rules = zip(self._network.rules, self._memory.lack, strict=True)
        names = (rule.then.name for rule, lack in rules if not lack and rule.then.kind == kind)
        return tuple(dict.fromkeys(names))

    @property
    def contradictions(self) -> dict[str, frozenset[str]]:
        """The signs that have several states at once, in the order of the rules."""
        signs = dict.fromkeys(r.then.name for r in self._network.rules if r.then.kind == "sign")
        return {sign: self.states(sign) for sign in signs if len(self.states(sign)) > 1}

    def truth(self, condition: Condition) -> bool | None:
        """Return whether a condition holds, None while that is not known."""
        quick = self._network.truth_of(condition)
        return quick(self._memory.cells) if quick else evaluate(condition, _Known(self)).truth

    def names_in(self, condition: Condition) -> tuple[str, ...]:
        """Return what a condition mentions, each once, in the order written."""
        return self._network.names_in(condition)

    def outcome(self, condition: Condition) -> Outcome:
        """Return how a condition stands, with its parts and what would settle it."""
        return evaluate(condition, self)

    def deciders(self, name: str) -> frozenset[str]:
        """Return the findings and unit data whose answer could make an unknown name known."""
        return NO_NAMES if self.value(name) is not None else self._relevance.deciders(name)

    def missing_for(self, condition: Condition) -> frozenset[str]:
        """Return the findings and unit data whose answer could still change a condition."""
        return self.outcome(condition).missing

    def missing_by_rule(self) -> Mapping[str, frozenset[str]]:
        """Return, for each rule that does not fire but still may, the answers that it awaits."""
        return self._relevance.by_rule()


@frozen
class _Known:
    """What a chain knows, where nobody asks what would decide the rest."""

    chain: Chain

    def value(self, name: str) -> Held | None:
        return self.chain.value(name)

    def figure(self, name: str) -> Figure | None:
        return self.chain.figure(name)

    def deciders(self, _: str) -> frozenset[str]:
        return NO_NAMES
