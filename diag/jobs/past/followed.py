"""Readings of one heater that are followed over the years, from the journals of its sessions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from diag.jobs.past.trend import Trend
from diag.logic.rests_on import Direct, resting_on
from diag.model.amounts import meter_error
from diag.model.frozen import frozen
from diag.model.quantity import Quantity, Unit
from diag.model.rulebook import Rulebook, UnitData
from diag.session.journal.effective import effective
from diag.session.journal.events import Answered, Repaired, journal_of
from diag.store.sessions import Store

SECONDS_OF_A_YEAR = 365.25 * 86400


@frozen
class ReadThen:
    """A reading with the time at which it was taken, in UTC."""

    at: str
    value: Quantity


@frozen
class FollowedFinding:
    """The readings of one finding since what it shows was last repaired, with their trend."""

    finding: str
    unit: Unit
    readings: tuple[ReadThen, ...]
    trend: Trend


def followed(
    store: Store,
    sessions: Sequence[str],
    findings: Mapping[str, str],
    of: tuple[Rulebook, UnitData, Direct],
) -> Iterator[FollowedFinding]:
    """Yield the findings that were read twice or more in sessions, which are in order of time.

    `findings` gives with each what a usual meter is off by, for a unit that does not say. `of` is
    the rulebook, the unit by whose meters the readings were taken, and what its figures and signs
    rest on.
    """
    book, unit, below = of
    known = {name for name in findings if name in book.findings and book.findings[name].unit}
    read: dict[str, list[ReadThen]] = {name: [] for name in findings if name in known}
    for session in sessions:
        stored = store.events(session)
        times = {one.number: one.at for one in stored}
        journal = journal_of(stored)
        for number, event in effective(journal):
            if isinstance(event, Answered) and event.finding in known:
                if isinstance(event.value, Quantity) and not event.value.over_range:
                    at = event.when or times.get(number + 1, "")
                    read[event.finding].append(ReadThen(at, event.value))
            elif isinstance(event, Repaired) and event.cause in book.causes:
                for name in _renewed(book, below, event.cause) & known:
                    read[name].clear()
    for name, unsorted in read.items():
        row = sorted(unsorted, key=lambda one: one.at)
        wanted = book.findings[name].unit
        error = unit.instrument_errors.get(name) or (wanted and _usual(findings[name], wanted))
        trend = _trend(row, wanted, error) if wanted and error else None
        if wanted and trend is not None and len(set(trend.times)) > 1:
            yield FollowedFinding(name, wanted, tuple(row), trend)


def _renewed(book: Rulebook, below: Direct, cause: str) -> frozenset[str]:
    """Return the findings that a repair changes: those on which the signs of its causes rest."""
    mended = (cause, *book.causes[cause].repair.mends_as_well)
    signs = {sign for name in mended if name in book.causes for sign in book.causes[name].shows}
    return frozenset(resting_on(sorted(signs), below.get))


def _usual(text: str, unit: Unit) -> tuple[float, Quantity]:
    fraction, fixed = meter_error(text, unit)
    return fraction, fixed or Quantity(0.0, unit)


def _trend(row: Sequence[ReadThen], unit: Unit, error: tuple[float, Quantity]) -> Trend | None:
    try:
        moments = [datetime.fromisoformat(one.at).timestamp() for one in row]
    except ValueError:  # a time that is damaged
        return None
    times = tuple((moment - moments[0]) / SECONDS_OF_A_YEAR for moment in moments)
    values = tuple(unit.from_si(one.value.si) for one in row)
    fraction, fixed = error
    errors = tuple(fraction * abs(value) + fixed.si / unit.factor for value in values)
    return Trend(times, values, errors)
