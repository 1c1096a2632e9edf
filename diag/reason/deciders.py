"""Which answers would settle what is not known yet, kept up to date as cells change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from heapq import heapify, heappop, heappush

from diag.model.knowledge import Figure
from diag.reason.compiled import Cells
from diag.reason.evaluate import NOTHING, Standing, evaluate, joined
from diag.reason.figure import Held
from diag.reason.layout import mentioned
from diag.reason.network import Network


class Deciders:
    """The findings and unit data that could make each cell known, worked out when asked for.

    It reads the cells of a chain, which tells it which of them changed. Only the parts that
    mention a change are worked out again, and further parts only where the outcome differs.
    """

    __slots__ = ("_cells", "_network", "_of_cell", "_of_rule", "_stale")

    def __init__(self, network: Network, cells: Cells) -> None:
        layout = network.layout
        self._network = network
        self._cells = cells
        self._of_cell = [
            frozenset((name,)) if place not in layout.part and cells[place] is None else NOTHING
            for place, name in enumerate(layout.names)
        ]
        self._of_rule: list[Standing] = [(None, NOTHING)] * len(network.rules)
        self._stale = set(range(len(layout.parts)))

    def copy(self, cells: Cells) -> Deciders:
        """Return an independent copy that reads other cells, equal to these as yet."""
        other = Deciders.__new__(Deciders)
        other._network, other._cells = self._network, cells
        other._of_cell, other._of_rule = self._of_cell.copy(), self._of_rule.copy()
        other._stale = self._stale.copy()
        return other

    def value(self, name: str) -> Held | None:
        """Return what a name holds."""
        place = self._network.layout.cell.get(name)
        return None if place is None else self._cells[place]

    def figure(self, name: str) -> Figure | None:
        """Return the figure of that name, if it is one."""
        return self._network.figures.get(name)

    def deciders(self, name: str) -> frozenset[str]:
        """Return the answers that could make a name known, as last worked out."""
        place = self._network.layout.cell.get(name)
        return frozenset((name,)) if place is None else self._of_cell[place]

    def by_rule(self) -> Mapping[str, frozenset[str]]:
        """Return what could still change each rule that does not fire, as last worked out."""
        rules = zip(self._network.rules, self._of_rule, strict=True)
        return {rule.id: open_to for rule, (truth, open_to) in rules if open_to and not truth}

    def renew(self, changed: Iterable[int]) -> None:
        """Work out again what rests on the changed cells."""
        layout = self._network.layout
        for place in changed:
            if place in layout.part:
                self._stale.add(layout.part[place])
            else:
                known = self._cells[place] is not None
                self._of_cell[place] = NOTHING if known else frozenset((layout.names[place],))
            self._stale.update(layout.readers[place])
        queue = list(self._stale)
        heapify(queue)
        while queue:
            part = heappop(queue)
            if part in self._stale:
                self._stale.discard(part)
                for above in self._renew_part(part):
                    if above not in self._stale:
                        self._stale.add(above)
                        heappush(queue, above)

    def _renew_part(self, part: int) -> set[int]:
        """Work one part out again and return the parts that this concerns."""
        layout = self._network.layout
        places = layout.parts[part]
        before = [self._of_cell[place] for place in places]
        for place in places:
            self._of_cell[place] = NOTHING
        again = True
        while again:
            again = False
            for place in places:
                fresh = self._of_place(place)
                again = again or (part in layout.circles and fresh != self._of_cell[place])
                self._of_cell[place] = fresh
        return {
            reader
            for place, old in zip(places, before, strict=True)
            if self._of_cell[place] != old
            for reader in layout.readers[place]
            if reader != part
        }

    def _of_place(self, place: int) -> frozenset[str]:
        network = self._network
        known = self._cells[place] is not None
        figure = network.figures.get(network.layout.names[place])
        if figure:
            return NOTHING if known else NOTHING.union(*map(self.deciders, mentioned(figure)))
        found = []
        for atom in network.atom[place].values():
            for rule in network.concluding[atom]:
                self._of_rule[rule] = standing = self._stands(rule)
                found.append(standing[1])
        return NOTHING if known else NOTHING.union(*found)

    def _stands(self, rule: int) -> Standing:
        """Return a rule's truth and what could still change it."""
        network = self._network
        parts: list[Standing] = []
        for atom in network.atoms_in[rule]:
            place = network.cell_of[atom]
            held = self._cells[place]
            if held is None:
                parts.append((None, self._of_cell[place]))
            else:
                parts.append(
                    (isinstance(held, frozenset) and network.state_of[atom] in held, NOTHING)
                )
        for test in network.tests_in[rule]:
            outcome = evaluate(network.tests[test], self)
            parts.append((outcome.truth, outcome.missing))
        return joined(parts, decisive=False)
