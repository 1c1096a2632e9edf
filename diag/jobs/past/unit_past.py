"""The past of one heater: earlier jobs under its tag or serial, and where they are in conflict."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.record import index_of, record_of
from diag.model.frozen import frozen
from diag.store.jobs import Jobs
from diag.store.outcomes import Outcomes, RepairOutcome
from diag.store.sessions import Store

MOST_JOBS = 50
"""Of more jobs on one heater than this, the latest are looked at."""


@frozen
class UnitIdentity:
    """By what a heater is known: tag and serial as typed, and the unit by its id in the rules."""

    tag: str
    serial: str
    unit: str


@frozen
class EarlierJob:
    """A job of a heater, with what was repaired in its sessions, in order."""

    id: str
    opened: str
    complaint: str
    """In the owner's words."""
    outcome: str | None
    known: UnitIdentity
    sessions: tuple[str, ...]
    repairs: tuple[RepairOutcome, ...] = ()


@frozen
class UnitPast:
    """The earlier jobs of a heater, the latest first; what is of another one is left out."""

    known: UnitIdentity
    jobs: tuple[EarlierJob, ...] = ()
    conflicts: tuple[str, ...] = ()
    """Where the record and what is given now differ, a sentence each."""


def past_of(store: Store, job: str, session: str = "") -> UnitPast:
    """Return the past of a job's heater, but for one session; `StoreError` for an unknown job.

    The same serial is the same heater. The same tag is, where no serial says otherwise and the
    unit is the same.
    """
    now = _known(store, job)
    jobs, conflicts = [], []
    for name in (job, *_others(store, job, now)):
        then = _known(store, name)
        same, conflict = _compared(name, then, now)
        conflicts += [conflict] if conflict else []
        if same:
            jobs.append(_earlier(store, name, then, session))
    held = tuple(one for one in jobs if one.id != job or one.sessions)
    return UnitPast(now, held, tuple(dict.fromkeys(conflicts)))


def _known(store: Store, job: str) -> UnitIdentity:
    record = record_of(Jobs(store, index_of).entries(job))
    return UnitIdentity(record.label.tag or "", record.label.serial or "", record.unit)


def _others(store: Store, job: str, known: UnitIdentity) -> Iterator[str]:
    """Yield the other jobs under a tag or a serial, the latest first."""
    found: dict[str, tuple[str, str]] = {}
    for column, value in (("tag", known.tag), ("serial", known.serial)):
        if value:
            rows = store.rows(
                f"select id, opened, uid from jobs where {column} = ? collate nocase and id <> ? "
                f"order by opened desc, uid limit {MOST_JOBS}",
                (value, job),
            )
            found |= {name: (opened, uid) for name, opened, uid in rows}
    yield from sorted(found, key=found.__getitem__, reverse=True)[:MOST_JOBS]


def _compared(job: str, then: UnitIdentity, now: UnitIdentity) -> tuple[bool, str]:
    """Tell whether a job was on the same heater, and in a sentence what differs."""
    by_serial = bool(now.serial) and then.serial.lower() == now.serial.lower()
    if then.serial and now.serial and not by_serial:
        return False, (
            f"under `{now.tag}` job {job} was on another heater, serial `{then.serial}`, this one "
            f"is `{now.serial}`: that one's past is left out"
        )
    if then.unit != now.unit and then.unit and now.unit:
        left = "its past counts, as the serial is the same" if by_serial else "it is left out"
        return by_serial, f"job {job} has it as `{then.unit}`, this one as `{now.unit}`: {left}"
    if by_serial and then.tag and now.tag and then.tag.lower() != now.tag.lower():
        return True, f"serial `{now.serial}` was `{then.tag}` in job {job}, and is `{now.tag}` now"
    return True, ""


def _earlier(store: Store, job: str, known: UnitIdentity, session: str) -> EarlierJob:
    record = record_of(Jobs(store, index_of).entries(job))
    rows = store.rows("select id from sessions where job = ? order by place, uid", (job,))
    sessions = tuple(name for (name,) in rows if name != session)
    repairs = (one for name in sessions for one in Outcomes(store).of_session(name))
    return EarlierJob(
        job, record.opened, record.complaint, record.outcome, known, sessions, tuple(repairs)
    )
