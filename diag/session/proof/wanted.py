"""What a finding should read on this unit, solved from the condition that wants it.

The condition is tried at states and numbers, through whatever figures and signs it rests on, so
that no formula need be turned round. An idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from diag.logic.rests_on import Direct, resting_on
from diag.model.expression import Condition, Literal, names_in, walk
from diag.model.frozen import frozen
from diag.model.quantity import UNITS, Quantity
from diag.model.rulebook import Finding, UnitData, Value
from diag.reason.chain.engine import Chain
from diag.session.prompt import AskFinding
from diag.session.proof.ranges import widest_range
from diag.session.state import SessionState

SHOWN_DIGITS = 3


@frozen
class Wanted:
    """What a finding should be: one of some states, or a number between two ends.

    An end that is None is open; `assumed` names the data of the unit that it rests on and that
    were taken from the class of the unit. `beyond`: the end itself will not do, as of `less than`.
    """

    states: tuple[str, ...] = ()
    low: Quantity | None = None
    high: Quantity | None = None
    assumed: tuple[str, ...] = ()
    beyond: bool = False

    def __str__(self) -> str:
        if self.states:
            return " or ".join(self.states)
        if self.low is not None and self.high is not None:
            if self.low.si == self.high.si:
                return _round(self.low)
            return f"{_round(self.low)} to {_round(self.high)}"
        if self.low is not None:
            return f"more than {_round(self.low)}" if self.beyond else f"{_round(self.low)} or more"
        assert self.high is not None
        return f"less than {_round(self.high)}" if self.beyond else f"{_round(self.high)} or less"

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
    ends = widest_range(finding, _written(condition), holds)
    if ends is None:
        return None
    low, high = inwards(*ends)
    return Wanted(low=low, high=high, assumed=assumed)


def inwards(low: Quantity | None, high: Quantity | None) -> tuple[Quantity | None, Quantity | None]:
    """Return the ends of a range as a meter shows them, rounded into it.

    In thousandths of their unit where both are small.
    """
    small = all(abs(end.value) < 0.1 for end in (low, high) if end is not None)
    return low and _shown(low, small, up=True), high and _shown(high, small, up=False)


def _written(condition: Condition) -> Iterator[float]:
    """Yield the numbers that a condition names, in SI."""
    return (part.quantity.si for part in walk(condition) if isinstance(part, Literal))


def _shown(end: Quantity, small: bool, *, up: bool) -> Quantity:
    """Return an end as a meter shows it, in thousandths of its unit where all is small."""
    unit = UNITS.get(f"m{end.unit.symbol}", end.unit) if small else end.unit
    written = Decimal(f"{unit.from_si(end.si):.6g}")
    place = Decimal(1).scaleb(written.adjusted() - SHOWN_DIGITS + 1)
    rounded = written.quantize(place, ROUND_CEILING if up else ROUND_FLOOR)
    return Quantity(unit.to_si(float(rounded)), unit)


def _round(end: Quantity) -> str:
    """Write an end found by bisection: to six digits it is the number that was meant."""
    return end.unit.written(float(f"{end.value:.6g}"))
