"""Which answers could still settle what is not known: relevance of the open questions.

Worked out when asked for, and only for what a name rests on; a chain forgets it all with each
change. Going by the supports that a conclusion still may get is an idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.logic.evaluate import NO_NAMES, evaluate
from diag.logic.figure import Held, View
from diag.model.expression import names_in
from diag.model.rulebook import Figure
from diag.reason.chain.network import Network

Answers = frozenset[str]
"""Findings, and unit data as `unit NAME`."""


class Relevance:
    """The answers that could make each name known, as a view of what is known already."""

    __slots__ = ("_known", "_network", "_view")

    def __init__(self, network: Network, view: View) -> None:
        self._network = network
        self._view = view
        self._known: dict[int, Answers] = {}

    def forget(self) -> None:
        """Drop what was worked out, as something has changed."""
        if self._known:
            self._known = {}

    def value(self, name: str) -> Held | None:
        """Return what is known of a name."""
        return self._view.value(name)

    def figure(self, name: str) -> Figure | None:
        """Return the figure of that name, if it is one."""
        return self._network.figures.get(name)

    def deciders(self, name: str) -> Answers:
        """Return the answers that could make an unknown name known; none where it is known."""
        if self._view.value(name) is not None:
            return NO_NAMES
        place = self._network.order.cell.get(name)
        if place is None or place not in self._network.order.part:
            return frozenset((name,))
        if place not in self._known:
            for part in sorted(self._parts_under(place)):
                self._work_out(part)
        return self._known[place]

    def by_rule(self) -> dict[str, Answers]:
        """Return what could still change each rule that does not fire but still may."""
        found = {}
        for rule in self._network.rules:
            outcome = evaluate(rule.when, self)
            if outcome.missing and not outcome.truth:
                found[rule.id] = outcome.missing
        return found

    def _parts_under(self, place: int) -> set[int]:
        """Return the parts that a cell rests on and that are not worked out yet."""
        order = self._network.order
        found, waiting = {order.part[place]}, [order.part[place]]
        for part in waiting:
            for cell in order.parts[part]:
                for below in self._below(cell):
                    under = order.part.get(below)
                    if under is not None and under not in found and below not in self._known:
                        found.add(under)
                        waiting.append(under)
        return found

    def _below(self, place: int) -> Iterator[int]:
        network = self._network
        figure = network.figures.get(network.order.names[place])
        if figure:
            yield from (network.order.cell[name] for name in names_in(*figure.terms))
        for rule in self._rules_of(place):
            yield from (network.cell_of[atom] for atom in network.atoms_in[rule])
            yield from (cell for test in network.tests_in[rule] for cell in network.reads[test])

    def _rules_of(self, place: int) -> Iterator[int]:
        network = self._network
        return (rule for atom in network.atom[place].values() for rule in network.concluding[atom])

    def _work_out(self, part: int) -> None:
        """Join what decides the names below; a circle starts from nothing and grows till it stands.

        What rests on nothing but itself is decided by nothing.
        """
        order = self._network.order
        places = order.parts[part]
        self._known.update(dict.fromkeys(places, NO_NAMES))
        again = True
        while again:
            fresh = {place: self._joined(place) for place in places}
            again = part in order.circles and any(fresh[p] != self._known[p] for p in places)
            self._known.update(fresh)

    def _joined(self, place: int) -> Answers:
        name = self._network.order.names[place]
        if self._view.value(name) is not None:
            return NO_NAMES
        figure = self.figure(name)
        under = [self.deciders(one) for one in names_in(*figure.terms)] if figure else []
        rules = (self._network.rules[rule] for rule in self._rules_of(place))
        return NO_NAMES.union(*under, *(evaluate(rule.when, self).missing for rule in rules))
