"""Which answers could still settle what is not known: relevance of the open questions.

Worked out when asked for, and only for what a name rests on; a chain forgets it all with each
change. Going by the supports that a conclusion still may get is an idea of ours.
"""

from __future__ import annotations

from diag.logic.compiled import Cells
from diag.logic.evaluate import NO_NAMES, evaluate
from diag.logic.figure import Held
from diag.model.expression import names_in
from diag.model.frozen import frozen
from diag.model.rulebook import Figure
from diag.reason.chain.network import Network

AnswerSet = int
"""A set of asked cells, one bit each: joining sets is most of the work here."""


class Relevance:
    """The answers that could make each name known, worked out from the cells of a chain."""

    __slots__ = ("_cells", "_known", "_network")

    def __init__(self, network: Network, cells: Cells) -> None:
        self._network = network
        self._cells = cells
        self._known: dict[int, AnswerSet] = {}

    def forget(self) -> None:
        """Drop what was worked out, as something has changed."""
        if self._known:
            self._known = {}

    def deciders(self, name: str) -> frozenset[str]:
        """Return the answers that could make an unknown name known; none where it is known."""
        place = self._network.order.cell.get(name)
        return frozenset((name,)) if place is None else self._names(self._of(place))

    def by_rule(self) -> dict[str, frozenset[str]]:
        """Return what could still change each rule that does not fire but still may."""
        rules = enumerate(self._network.rules)
        return {rule.id: self._names(of) for number, rule in rules if (of := self._of_rule(number))}

    def _names(self, answers: AnswerSet) -> frozenset[str]:
        names, found = self._network.order.names, []
        while answers:
            lowest = answers & -answers
            found.append(names[lowest.bit_length() - 1])
            answers ^= lowest
        return frozenset(found)

    def _of(self, place: int) -> AnswerSet:
        order = self._network.order
        if place not in self._known:
            if place not in order.part:
                self._known[place] = 1 << place if self._cells[place] is None else 0
            else:
                for part in sorted(self._parts_under(place)):
                    self._work_out(part)
        return self._known[place]

    def _parts_under(self, place: int) -> set[int]:
        """Return the parts that a cell rests on and that are not worked out yet."""
        order, known = self._network.order, self._known
        found, waiting = {order.part[place]}, [order.part[place]]
        for part in waiting:
            for under in order.under[part]:
                if under not in found and order.parts[under][0] not in known:
                    found.add(under)
                    waiting.append(under)
        return found

    def _work_out(self, part: int) -> None:
        """Join what decides the names below; a circle starts from nothing and grows till it stands.

        What rests on nothing but itself is decided by nothing.
        """
        order = self._network.order
        places = order.parts[part]
        if part not in order.circles:
            self._known[places[0]] = self._joined(places[0])
            return
        self._known.update(dict.fromkeys(places, 0))
        again = True
        while again:
            fresh = {place: self._joined(place) for place in places}
            again = any(fresh[place] != self._known[place] for place in places)
            self._known.update(fresh)

    def _joined(self, place: int) -> AnswerSet:
        network, joint = self._network, 0
        if self._cells[place] is not None:
            return 0
        figure = network.figures.get(network.order.names[place])
        for below in names_in(*figure.terms) if figure else ():
            joint |= self._of(network.order.cell[below])
        for atom in network.atom[place].values():
            for rule in network.concluding[atom]:
                joint |= self._of_rule(rule)
        return joint

    def _of_rule(self, rule: int) -> AnswerSet:
        """Return what could still change a rule; nothing where it fires or never will."""
        network, cells, known = self._network, self._cells, self._known
        joint, fires = 0, True
        for atom in network.atoms_in[rule]:
            place = network.cell_of[atom]
            held = cells[place]
            if held is None:
                fires = False
                joint |= known[place] if place in known else self._of(place)
            elif not isinstance(held, frozenset) or network.state_of[atom] not in held:
                return 0
        for test in network.tests_in[rule]:
            outcome = evaluate(network.tests[test], _Direct(network, cells, self))
            if outcome.truth is False and not outcome.missing:
                return 0
            fires = fires and outcome.truth is True
            for name in outcome.missing:
                joint |= self._of(network.order.cell[name])
        return 0 if fires else joint

    def may_decide(self, name: str) -> bool:
        """Tell whether any answer could make an unknown name known."""
        return self._of(self._network.order.cell[name]) != 0


@frozen
class _Direct:
    """A view in which an unknown name that something decides decides itself."""

    network: Network
    cells: Cells
    relevance: Relevance

    def value(self, name: str) -> Held | None:
        return self.cells[self.network.order.cell[name]]

    def figure(self, name: str) -> Figure | None:
        return self.network.figures.get(name)

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset((name,)) if self.relevance.may_decide(name) else NO_NAMES
