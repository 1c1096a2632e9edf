"""What a report is made of, and how its pieces are put in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, tzinfo

from diag.jobs.history.told import JobHistory, RepairMade, SessionHistory, Taken
from diag.jobs.record import JobRecord
from diag.model.frozen import frozen
from diag.model.phrasing import capital
from diag.model.rulebook import Rulebook, Value
from diag.session.account.reasons import SPEAKS_FROM, Reason
from diag.session.proof.good import CLASS_VALUE
from diag.session.proof.run import RepairResult
from diag.session.result import shown

MOST_REASONS = 3
JUDGED = {True: "good", False: "NOT GOOD", None: ""}
"""What is said of a reading that keeps its limit, that does not, and that has none."""
OF_ITS_KIND = " for heaters of its kind"
"""What an owner reads in place of the mark of a class value."""
LOCAL_RULES_FIRST = (
    "Fuel lines, exhausts, gas-tight work and the wiring of vehicles and craft may be work for a "
    "licensed person. Local rules and the heater's own manual come before anything said here."
)


@frozen
class JobMaterial:
    """A job with its history, the rules that judge it, and how times are written."""

    job: str
    record: JobRecord
    history: JobHistory
    book: Rulebook
    local: Callable[[str], str]
    """A time in UTC, as ISO 8601 writes it, to the time on the wall."""

    @property
    def sessions(self) -> tuple[SessionHistory, ...]:
        """Return the sessions in their order."""
        return self.history.sessions

    @property
    def repairs(self) -> tuple[RepairMade, ...]:
        """Return all repairs of the job, in order."""
        return tuple(one for each in self.sessions for one in each.repairs)

    @property
    def is_open(self) -> bool:
        """Tell whether the job goes on."""
        return self.record.outcome is None


def local_time(zone: tzinfo | None) -> Callable[[str], str]:
    """Return what writes a stored time as it is on the wall of a zone; None: of this machine.

    What is no time is returned as it is.

    >>> from datetime import timedelta, timezone
    >>> local_time(timezone(timedelta(hours=1)))("2026-11-03T08:31:00+00:00")
    '2026-11-03 09:31'
    """

    def local(stored: str) -> str:
        try:
            return datetime.fromisoformat(stored).astimezone(zone).strftime("%Y-%m-%d %H:%M")
        except (ValueError, OverflowError, OSError):
            return stored

    return local


def came_out(result: RepairResult) -> str:
    """Write how a repair came out, in no more than was read."""
    if result.proved:
        lesser = ", as far as could be read" if result.lesser else ""
        return f"the repair holds and the complaint is gone{lesser}"
    if result.own == "failed":
        return "its own check fails"
    gone_on = result.complaint == "failed"
    if result.holds:
        return f"the repair holds, {'but the complaint went on' if gone_on else 'no more was read'}"
    return "the complaint went on" if gone_on else "not proved: not all of it was read"


def told_value(value: Value, finding: str, book: Rulebook) -> str:
    """Write a value for an owner: what it looks like where the rules say that."""
    if not isinstance(value, str):
        return shown(value)
    look = book.findings[finding].choices.get(value, "") if finding in book.findings else ""
    return (look or value).replace(CLASS_VALUE, OF_ITS_KIND)


def readings_until(session: SessionHistory, stage: int) -> tuple[Taken, ...]:
    """Return what had been read when so many repairs had been made: reasons rest on no more."""
    return tuple(one for one in session.readings if one.stage <= stage)


def reason_lines(
    reasons: Iterable[Reason], readings: Iterable[Taken] = (), *, plain: bool = False
) -> Iterator[str]:
    """Yield the strongest reasons, each with the readings that it rests on and their limits.

    `plain`: for an owner, without the names that the rules give to what follows.
    """
    limits = {one.finding: one.limit.good for one in readings}
    for one in [each for each in reasons if each.decibans >= SPEAKS_FROM][:MOST_REASONS]:
        rests = dict(one.rests_on) or {one.sign: one.state}
        said = "; ".join(
            f"{name}: {shown(value)}" + _good(limits.get(name, "")) for name, value in rests.items()
        )
        why = f". {capital(one.why)}" if one.why and "`" not in one.why else ""
        head = "" if plain or not one.rests_on else f"{one.sign} is {one.state} ("
        tail = ")" if head else ""
        text = capital(f"{head}{said}{tail}{why}.")
        yield text.replace(CLASS_VALUE, OF_ITS_KIND) if plain else text


def _good(good: str) -> str:
    return f" (good: {good})" if good else ""


def finding_titled(finding: str) -> str:
    """Return the name of a finding as it stands at the head of a row.

    >>> finding_titled("volts at rest"), finding_titled("co alarm")
    ('Volts at rest', 'CO alarm')
    """
    return f"CO{finding[2:]}" if finding.startswith("co ") else capital(finding)


def by_reason(passed: Iterable[tuple[str, str]]) -> tuple[tuple[str, ...], ...]:
    """Return what was not read, by the reason: each reason once, with all that it held back.

    >>> by_reason([("volts", "not sure"), ("amps", "no clamp"), ("ohms", "not sure")])
    (('not sure', 'volts, ohms'), ('no clamp', 'amps'))
    """
    several = dict[str, dict[str, None]]()
    for name, why in passed:
        several.setdefault(why, {})[name] = None
    return tuple((why, ", ".join(names)) for why, names in several.items())


def told_minutes(minutes: float) -> str:
    """Write minutes as people do.

    >>> told_minutes(25.0), told_minutes(135.0)
    ('25 min', '2 h 15 min')
    """
    whole = round(minutes)
    return f"{whole} min" if whole < 120 else f"{whole // 60} h {whole % 60:02d} min"


def session_named(session: SessionHistory, material: JobMaterial) -> str:
    """Name a session where there are several."""
    if len(material.sessions) < 2:
        return ""
    return f"Session {session.session}, {material.local(session.started)}"
