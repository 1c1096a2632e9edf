"""Which answers would settle what is not known yet, kept up to date as cells change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from heapq import heappop, heappush

from diag.logic.compiled import Cells
from diag.logic.evaluate import NOTHING, evaluate
from diag.logic.figure import Held
from diag.model.rulebook import Figure
from diag.reason.chain.dependency_order import mentioned
from diag.reason.chain.network import Network

Answers = int
"""A set of asked cells, one bit each: joining sets is most of the work here."""


class Deciders:
    """The findings and unit data that could make each cell known, worked out when asked for.

    It reads the cells of a chain, which tells it which of them changed. Only the parts that
    mention a change are worked out again, and further parts only where the outcome differs.
    """

    __slots__ = ("_cells", "_network", "_of_cell", "_of_rule", "_stale", "_written")

    def __init__(self, network: Network, cells: Cells) -> None:
        self._network = network
        self._cells = cells
        self._of_cell: list[Answers] = [0] * len(cells)
        self._of_rule: list[Answers] = [0] * len(network.rules)
        """Per rule what could still change it; nothing where it fires."""
        self._stale = set(range(len(network.layout.parts)))
        self._written: dict[Answers, frozenset[str]] = {}
        self._renew_asked(place for place in range(len(cells)) if place not in network.layout.part)

    def copy(self, cells: Cells) -> Deciders:
        """Return an independent copy that reads other cells, equal to these as yet."""
        other = Deciders.__new__(Deciders)
        other._network, other._cells = self._network, cells
        other._of_cell, other._of_rule = self._of_cell.copy(), self._of_rule.copy()
        other._stale, other._written = self._stale.copy(), {}
        return other

    def deciders(self, name: str) -> frozenset[str]:
        """Return the answers that could make a name known, as last worked out."""
        place = self._network.layout.cell.get(name)
        return frozenset((name,)) if place is None else self._names(self._of_cell[place])

    def by_rule(self) -> dict[str, frozenset[str]]:
        """Return what could still change each rule that does not fire, as last worked out."""
        rules = zip(self._network.rules, self._of_rule, strict=True)
        return {rule.id: self._names(answers) for rule, answers in rules if answers}

    def _names(self, answers: Answers) -> frozenset[str]:
        if answers not in self._written:
            found, left = [], answers
            while left:
                lowest = left & -left
                found.append(self._network.layout.names[lowest.bit_length() - 1])
                left ^= lowest
            self._written[answers] = frozenset(found)
        return self._written[answers]

    def renew(self, changed: Iterable[int]) -> None:
        """Work out again what rests on the changed cells."""
        layout, stale = self._network.layout, self._stale
        for place in changed:
            if place in layout.part:
                stale.add(layout.part[place])
            else:
                self._renew_asked((place,))
            stale.update(layout.readers[place])
        if stale:
            self._written.clear()
        queue = sorted(stale)
        while queue:
            part = heappop(queue)
            stale.discard(part)
            for above in self._renew_part(part) - stale:
                stale.add(above)
                heappush(queue, above)

    def _renew_asked(self, places: Iterable[int]) -> None:
        for place in places:
            self._of_cell[place] = 1 << place if self._cells[place] is None else 0

    def _renew_part(self, part: int) -> set[int]:
        """Work one part out again and return the further parts that this concerns."""
        layout, of_cell = self._network.layout, self._of_cell
        places = layout.parts[part]
        before = [of_cell[place] for place in places]
        for place in places:
            of_cell[place] = 0
        again = True
        while again:
            fresh = [self._renew_place(place) for place in places]
            again = part in layout.circles and fresh != [of_cell[place] for place in places]
            for place, answers in zip(places, fresh, strict=True):
                of_cell[place] = answers
        changed = (
            place for place, old in zip(places, before, strict=True) if of_cell[place] != old
        )
        return {reader for place in changed for reader in layout.readers[place]} - {part}

    def _renew_place(self, place: int) -> Answers:
        network = self._network
        joint = 0
        figure = network.figures.get(network.layout.names[place])
        if figure:
            for name in mentioned(figure):
                joint |= self._of_cell[network.layout.cell[name]]
        for atom in network.atom[place].values():
            for rule in network.concluding[atom]:
                self._of_rule[rule] = answers = self._of(rule)
                joint |= answers
        return joint if self._cells[place] is None else 0

    def _of(self, rule: int) -> Answers:
        """Return what could still change a rule; nothing where it fires or never will."""
        network, cells, of_cell = self._network, self._cells, self._of_cell
        joint, fires = 0, True
        for atom in network.atoms_in[rule]:
            place = network.cell_of[atom]
            held = cells[place]
            if held is None:
                fires = False
                joint |= of_cell[place]
            elif not isinstance(held, frozenset) or network.state_of[atom] not in held:
                return 0
        for test in network.tests_in[rule]:
            outcome = evaluate(network.tests[test], _Direct(network, cells, of_cell))
            if outcome.truth is False and not outcome.missing:
                return 0
            fires = fires and outcome.truth is True
            for name in outcome.missing:
                joint |= of_cell[network.layout.cell[name]]
        return 0 if fires else joint


@dataclass(frozen=True, slots=True)
class _Direct:
    """The cells as a view in which an unknown name that something decides decides itself."""

    network: Network
    cells: Cells
    of_cell: list[Answers]

    def value(self, name: str) -> Held | None:
        return self.cells[self.network.layout.cell[name]]

    def figure(self, name: str) -> Figure | None:
        return self.network.figures.get(name)

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset((name,)) if self.of_cell[self.network.layout.cell[name]] else NOTHING
