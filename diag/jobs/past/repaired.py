"""What earlier repairs of one heater say of its causes now.

The rule: a cause that was repaired and proved is less likely, as its part is new; one whose repair
did not hold is likelier. What it says fades, by half in `lately weeks`. The numbers are `repaired
lately`, `repair not held` and `lately weeks` of the rules' settings.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.model.settings import Settings
from diag.session.journal.recalled import Recollection
from diag.store.outcomes import RepairOutcome

LEAST_CHANGE = 0.05
"""A change of the odds smaller than this is not worth a word."""
DAYS_OF_A_WEEK, SECONDS_OF_A_DAY = 7, 86400


@frozen
class LatestRepair:
    """The latest repair that says something of a cause: when, in UTC, and whether it was proved."""

    at: str
    proved: bool


def latest_repairs(repairs: Iterable[RepairOutcome], book: Rulebook) -> dict[str, LatestRepair]:
    """Return the latest repair of each cause, those counted that its repair mends as well."""
    found: dict[str, LatestRepair] = {}
    for one in sorted(repairs, key=lambda each: each.at):
        if one.cause not in book.causes or one.result not in ("proved", "failed"):
            continue
        proved = one.result == "proved"
        also = book.causes[one.cause].repair.mends_as_well if proved else ()
        for name in (one.cause, *also):
            if name in book.causes:
                found[name] = LatestRepair(one.at, proved)
    return found


def recollections(
    repairs: Iterable[RepairOutcome], book: Rulebook, now: str
) -> tuple[Recollection, ...]:
    """Return what earlier repairs say of the causes, at a time in UTC, in order of cause."""
    told = []
    for name, latest in sorted(latest_repairs(repairs, book).items()):
        weeks = weeks_between(latest.at, now)
        times = times_after(weeks, book.scales.settings, proved=latest.proved)
        if abs(times - 1) >= LEAST_CHANGE:
            what = "repaired and proved" if latest.proved else "repaired, which did not hold,"
            told.append(Recollection(name, times, f"{what} {ago(weeks)}"))
    return tuple(told)


def times_after(weeks: float, settings: Settings, *, proved: bool) -> float:
    """Return what a repair so many weeks ago multiplies the odds of its cause by.

    >>> round(times_after(26, Settings(), proved=True), 2)
    0.65
    """
    at_once = settings.repaired_lately if proved else settings.repair_not_held
    left = 0.5 ** (weeks / settings.lately_weeks) if settings.lately_weeks else 0.0
    return float(f"{1 + (at_once - 1) * left:.4g}")


def weeks_between(then: str, now: str) -> float:
    """Return the weeks between two times as ISO 8601 writes them; 0 where a clock went back.

    >>> weeks_between("2026-11-02T08:00:00+00:00", "2026-11-23T08:00:00+00:00")
    3.0
    """
    try:
        passed = datetime.fromisoformat(now) - datetime.fromisoformat(then)
    except (ValueError, TypeError):  # damaged, or one of them says no zone
        return 0.0
    return max(0.0, passed.total_seconds() / SECONDS_OF_A_DAY / DAYS_OF_A_WEEK)


def ago(weeks: float) -> str:
    """Write how long ago something was.

    >>> ago(0.1), ago(1.2), ago(20), ago(104)
    ('this week', '1 week ago', '20 weeks ago', '2.0 years ago')
    """
    whole = int(weeks)
    if whole > 51:
        return f"{weeks / 52.18:.1f} years ago"
    return f"{whole} week{'' if whole == 1 else 's'} ago" if whole else "this week"
