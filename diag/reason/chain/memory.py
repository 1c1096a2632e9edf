"""The working memory of a chain: what every cell holds, and how a change runs through it."""

from __future__ import annotations

from heapq import heappop, heappush

from diag.logic.compiled import Cells
from diag.logic.figure import Held, View, work_out_figure
from diag.reason.chain.dependency_order import Numbers
from diag.reason.chain.network import Network


class WorkingMemory:
    """Cells, and the counts that keep them at the least fixpoint of the rules.

    A rule counts what it lacks and a concluded atom the rules that lack nothing, so that a
    change touches only the rules that mention it (Dowling and Gallier, J. Logic Programming 1
    (1984)). Atoms are settled in the order of their parts, each with all that it rests on
    settled before. A circle that loses a support gives up all that may have rested on it and
    derives anew what still can be (Gupta, Mumick and Subrahmanian, SIGMOD 1993).
    """

    __slots__ = (
        "cells", "count", "figures_before", "held", "held_before", "lack", "met",
        "network", "queue", "view",
    )  # fmt: skip

    def __init__(self, network: Network, view: View) -> None:
        self.network = network
        self.view = view
        self.cells: Cells = [None] * len(network.order.names)
        self.lack = [
            len(atoms) + len(tests)
            for atoms, tests in zip(network.atoms_in, network.tests_in, strict=True)
        ]
        self.met = bytearray(len(network.tests))
        self.count = [0] * len(network.facts)
        self.held = bytearray(len(network.facts))
        self.queue: list[int] = []
        """Concluded atoms to settle, a heap."""
        self.held_before: dict[int, int] = {}
        """Atoms that turned since the last step, in order, and whether they were held."""
        self.figures_before: dict[int, Held | None] = {}
        for rule, lack in enumerate(self.lack):
            if not lack:
                self.count[network.head[rule]] += 1
                heappush(self.queue, network.head[rule])

    def copy(self, view: View) -> WorkingMemory:
        """Return an independent copy of a settled memory."""
        other = WorkingMemory.__new__(WorkingMemory)
        other.network, other.view = self.network, view
        other.cells, other.lack = self.cells.copy(), self.lack.copy()
        other.met, other.count, other.held = self.met[:], self.count.copy(), self.held[:]
        other.queue, other.held_before, other.figures_before = [], {}, {}
        return other

    def start(self) -> None:
        """Settle what holds before anything is told."""
        for part in self.network.order.parts[: len(self.network.figures)]:
            self._compute(part[0])
        for test in range(len(self.network.tests)):
            self._retest(test)
        self.settle()

    def put(self, place: int, held: Held | None) -> None:
        """Let an asked cell hold something else; the conclusions wait for `settle`."""
        network = self.network
        old = self.cells[place]
        self.cells[place] = held
        atoms = network.atom[place]
        if atoms:
            if isinstance(old, frozenset):
                for state in old:
                    if state in atoms:
                        self._lose(network.waiting[atoms[state]])
            if isinstance(held, frozenset):
                for state in held:
                    if state in atoms:
                        self._gain(network.waiting[atoms[state]])
        for test in network.tests_of[place]:
            self._retest(test)
        for figure in network.order.figures_after[place]:
            self._compute(figure)

    def settle(self) -> tuple[dict[int, int], dict[int, Held | None]]:
        """Bring the conclusions up to date; return what turned, as it was before."""
        queue, count, held, circle = self.queue, self.count, self.held, self.network.circle
        while queue:
            atom = heappop(queue)
            if circle[atom] >= 0:
                self._settle_circle(atom)
            elif (count[atom] > 0) != held[atom]:
                self._turn(atom)
        before = self.held_before, self.figures_before
        if self.held_before:
            self.held_before = {}
        if self.figures_before:
            self.figures_before = {}
        return before

    def _gain(self, rules: Numbers) -> None:
        """Let rules lack one thing less."""
        lack = self.lack
        for rule in rules:
            lack[rule] = left = lack[rule] - 1
            if not left:
                head = self.network.head[rule]
                self.count[head] += 1
                if self.count[head] == 1:
                    heappush(self.queue, head)

    def _lose(self, rules: Numbers) -> None:
        """Let rules lack one thing more."""
        lack = self.lack
        for rule in rules:
            if not lack[rule]:
                head = self.network.head[rule]
                self.count[head] -= 1
                if not self.count[head] or self.network.circle[head] >= 0:
                    heappush(self.queue, head)
            lack[rule] += 1

    def _turn(self, atom: int) -> None:
        """Hold a concluded atom, or hold it no longer."""
        network = self.network
        was = self.held[atom]
        self.held_before.setdefault(atom, was)
        self.held[atom] = not was
        place = network.cell_of[atom]
        states = self.cells[place] or frozenset()
        assert isinstance(states, frozenset)
        self.cells[place] = states ^ {network.state_of[atom]} or None
        if was:
            self._lose(network.waiting[atom])
        else:
            self._gain(network.waiting[atom])
        for test in network.tests_of[place]:
            self._retest(test)

    def _settle_circle(self, atom: int) -> None:
        """Settle all atoms of a circle: first withdraw what is in doubt, then derive anew.

        A held atom is queued only when it lost a support, or when one of its tests holds on
        other grounds than before; and what it has left may rest on itself.
        """
        circle = self.network.circle[atom]
        queued, doubtful = [atom, *self._queued(circle)], list[int]()
        while queued:
            doubtful += queued
            for each in queued:
                if self.held[each]:
                    self._turn(each)
            queued = self._queued(circle)
        queued = doubtful
        while queued:
            for each in queued:
                if self.count[each] and not self.held[each]:
                    self._turn(each)
            queued = self._queued(circle)

    def _queued(self, circle: int) -> list[int]:
        """Take the atoms of a circle off the queue, where they come first."""
        queue, taken = self.queue, []
        while queue and self.network.circle[queue[0]] == circle:
            taken.append(heappop(queue))
        return taken

    def _retest(self, test: int) -> None:
        met = self.network.truths[test](self.cells) is True
        if met != self.met[test]:
            self.met[test] = met
            rules = self.network.tested[test]
            self._gain(rules) if met else self._lose(rules)
        elif met:
            # It may hold now only because of what it gave rise to itself.
            for head in self.network.looping[test]:
                if self.held[head]:
                    heappush(self.queue, head)

    def _compute(self, place: int) -> None:
        """Work a figure out again; one without a result is not known."""
        figure = self.network.figures[self.network.order.names[place]]
        try:
            worked_out = work_out_figure(figure, self.view)
        except ValueError:
            worked_out = None
        old = self.cells[place]
        if worked_out != old:
            self.cells[place] = worked_out
            self.figures_before.setdefault(place, old)
            for test in self.network.tests_of[place]:
                self._retest(test)
