"""What a finding should read on this unit, solved from the condition that wants it.

The condition is tried at states and numbers, through whatever figures and signs it rests on, so
that no formula need be turned round. An idea of ours; the ends are found by bisection.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from diag.logic.rests_on import Direct, resting_on
from diag.model.expression import Condition, Literal, names_in, walk
from diag.model.frozen import frozen
from diag.model.quantity import UNITS, Quantity
from diag.model.rulebook import Finding, UnitData, Value
from diag.reason.chain.engine import Chain
from diag.session.prompt import AskFinding
from diag.session.state import SessionState

STEPS = 64
HALVINGS = 60


@frozen
class Wanted:
    """What a finding should be: one of some states, or a number between two ends.

    An end that is None is open; `assumed` names the data of the unit that it rests on and that
    were taken from the class of the unit.
    """

    states: tuple[str, ...] = ()
    low: Quantity | None = None
    high: Quantity | None = None
    assumed: tuple[str, ...] = ()

    def __str__(self) -> str:
        if self.states:
            return " or ".join(self.states)
        if self.low is not None and self.high is not None:
            if self.low.si == self.high.si:
                return _round(self.low)
            return f"{_round(self.low)} to {_round(self.high)}"
        if self.low is not None:
            return f"{_round(self.low)} or more"
        assert self.high is not None
        return f"{_round(self.high)} or less"

    def missed_by(self, value: Value) -> str:
        """Say by how much a number misses the range, as `0.8 V too low`; empty where it does not.

        Of a state, and of what is over range, there is no such amount.
        """
        if not isinstance(value, Quantity) or value.over_range:
            return ""
        for end, side, how in ((self.low, 1, "low"), (self.high, -1, "high")):
            if end is not None and side * (end.si - value.si) > 0:
                unit = UNITS["K"] if end.unit.symbol in ("C", "F") else end.unit
                gap = abs(end.si - value.si) / unit.factor
                return f"{unit.written(float(f'{gap:.3g}'))} too {how}"
        return ""


def wanted_by(state: SessionState, prompt: AskFinding) -> Wanted | None:
    """Return what the reading asked for should be, where a proof or a release wants it."""
    if prompt.proves is None:
        return None
    held = [
        standing.since
        for name, standing in state.dangers.held.items()
        if state.rulebook.dangers[name].released_when == prompt.proves
    ]
    chain = state.since(min(held)) if held else state.now
    return wanted(chain, prompt.proves, prompt.finding, state.unit, state.compiled.below)


def wanted(
    chain: Chain, condition: Condition, finding: Finding, unit: UnitData, below: Direct
) -> Wanted | None:
    """Return what a finding should read for a condition to be true, all else as it is known.

    None where no answer makes it true, every answer does, or that hangs on what is not known.
    `chain` is not changed. Of several ranges of numbers the widest is returned.
    """
    tried = chain.copy()
    names = resting_on(names_in(condition), below.get)
    assumed = tuple(
        name.removeprefix("unit ")
        for name in names
        if name.startswith("unit ") and name.removeprefix("unit ") in unit.assumed
    )

    def holds(answer: Quantity | str) -> bool | None:
        tried.tell(finding.id, answer)
        return tried.truth(condition)

    if finding.choices:
        good = tuple(state for state in finding.states if holds(state))
        if not good or len(good) == len(finding.states):
            return None
        return Wanted(states=good, assumed=assumed)
    ends = _ends(finding, condition, holds)
    return Wanted(low=ends[0], high=ends[1], assumed=assumed) if ends else None


Holds = Callable[[Quantity], bool | None]
Ends = tuple[Quantity | None, Quantity | None]


def _ends(finding: Finding, condition: Condition, holds: Holds) -> Ends | None:
    """Return the two ends of the widest range of numbers that hold; None where none is found."""
    unit = finding.unit
    if unit is None or finding.believable is None:
        return None
    least, most = (end.si for end in finding.believable)

    def at(number: float) -> bool:
        return bool(holds(Quantity(number, unit)))

    points = sorted({*_grid(least, most), *_written(condition, least, most)})
    found: list[tuple[float, float]] = []
    truths = [(point, at(point)) for point in points]
    begin = points[0] if truths[0][1] else None
    for (before, was), (after, now) in pairwise(truths):
        if was != now:
            edge = _edge(before, after, was, at)
            if now:
                begin = edge
            elif begin is not None:
                found.append((begin, edge))
                begin = None
    if begin is not None:
        found.append((begin, most))
    if not found:
        return None
    low, high = max(found, key=lambda one: one[1] - one[0])
    if low <= least and high >= most:
        return None
    return (
        None if low <= least else Quantity(low, unit),
        None if high >= most else Quantity(high, unit),
    )


def _grid(least: float, most: float) -> Iterator[float]:
    for step in range(STEPS + 1):
        yield least + (most - least) * step / STEPS


def _written(condition: Condition, least: float, most: float) -> Iterable[float]:
    """Yield the numbers that a condition names, where a finding could have them."""
    numbers = (part.quantity.si for part in walk(condition) if isinstance(part, Literal))
    return (number for number in numbers if least <= number <= most)


def _edge(before: float, after: float, was: bool, at: Callable[[float], bool]) -> float:
    """Return the last number that holds between one that does and one that does not."""
    good, bad = (before, after) if was else (after, before)
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        if middle in (good, bad):
            break
        if at(middle):
            good = middle
        else:
            bad = middle
    return good


def _round(end: Quantity) -> str:
    """Write an end found by bisection: to six digits it is the number that was meant."""
    return end.unit.written(float(f"{end.value:.6g}"))
