"""A reading judged on the spot: against what is good on this unit, with what it makes known."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from diag.logic.rests_on import resting_on
from diag.model.frozen import frozen
from diag.model.quantity import Quantity
from diag.session.account.snapshot import Snapshot
from diag.session.proof.good import good_range, with_class_value
from diag.session.result import told_fact
from diag.session.state import SessionState

FIGURE_DIGITS = 3
NOTHING_BEFORE = Snapshot({}, {}, frozenset(), frozenset(), {})


@frozen
class WorkedOut:
    """A figure that a reading makes known."""

    name: str
    title: str
    value: Quantity


@frozen
class JudgedReading:
    """What a measured reading tells by itself."""

    finding: str
    value: Quantity
    good: str
    """Between what ends it is good on this unit; empty where the rules set no limit."""
    is_good: bool | None
    """None where the rules set no limit."""
    missed: str
    """By how much, as `0.8 V too low`."""
    worked_out: tuple[WorkedOut, ...]
    follows: tuple[str, ...]
    """The signs that it shows, where no limit judges it."""


def judge_reading(state: SessionState, finding: str) -> JudgedReading | None:
    """Return a judgement of one number that was read, with all that it makes known; else None."""
    reading = state.readings.get(finding)
    if reading is None or not isinstance(reading.value, Quantity):
        return None
    return _judgement(state, finding, NOTHING_BEFORE)


def judged(state: SessionState, before: Snapshot) -> Iterator[JudgedReading]:
    """Yield a judgement of each number read since a moment `before`, in the order of the readings.

    Each is held against what was known before it, so that readings told in one go are judged as
    if they had been asked for one by one. Figures that became known, or other, are told with the
    last of them.
    """
    news = [
        name
        for name, reading in state.readings.items()
        if isinstance(reading.value, Quantity) and before.readings.get(name) != reading
    ]
    for number, name in enumerate(news, 1):
        yield _judgement(state, name, before, later=news[number:])


def _judgement(
    state: SessionState, name: str, before: Snapshot, later: Collection[str] = ()
) -> JudgedReading:
    value, last = state.readings[name].value, not later
    assert isinstance(value, Quantity)
    known = {each: read for each, read in state.now.told.items() if each not in later}
    good = good_range(state.rulebook, state.unit, name, known, state.compiled.network)
    missed = good.missed_by(value) if good else ""
    follows = (
        told_fact(state, fact)
        for fact in state.chain.facts
        if last and not good and fact.kind == "sign" and fact not in before.facts
    )
    return JudgedReading(
        name,
        value,
        with_class_value(good) if good else "",
        None if good is None else not (missed or value.over_range),
        missed,
        tuple(_worked_out(state, name, before)) if last else (),
        tuple(follows),
    )


def _worked_out(state: SessionState, read: str, before: Snapshot) -> Iterator[WorkedOut]:
    """Yield the figures that rest on a finding and are known, or other, since a moment."""
    for name, figure in state.rulebook.figures.items():
        value = state.now.value(name)
        new = isinstance(value, Quantity) and before.figures.get(name) != value
        if new and read in resting_on([name], state.compiled.below.get):
            assert isinstance(value, Quantity)
            yield WorkedOut(name, figure.title or name, _rounded(value))


def _rounded(value: Quantity) -> Quantity:
    written = float(f"{value.value:.{FIGURE_DIGITS}g}")
    return Quantity(value.unit.to_si(written), value.unit)
