"""The job that a session belongs to: named beforehand, or opened with the session."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diag.cli.guard import WrongUse
from diag.cli.stored import jobs_of, open_jobs

if TYPE_CHECKING:  # nothing is stored before the first question is answered
    from collections.abc import Callable

    from diag.cli.ask.opening import OpeningWords
    from diag.cli.terminal.screen import Screen
    from diag.session.journal.events import Event
    from diag.session.state import SessionState
    from diag.store import SessionRow, Store


def named_by_job(job: str, unit: str | None, complaint: str | None) -> tuple[str, str, str | None]:
    """Return a job's id, its unit, and the complaint that is said or stands in it, if any.

    Raises `WrongUse` for a job that is closed, or of another unit than the one that is named.
    """
    from diag.cli.jobs.finding import job_named
    from diag.jobs.record import record_of

    with open_jobs() as jobs:
        row = job_named(jobs, job)
        record = record_of(jobs.entries(row.id))
    if row.outcome is not None:
        raise WrongUse(
            f"job {row.id} is closed ({row.outcome}): `diag jobs reopen {row.id}` takes it up "
            "again, or begin a new one"
        )
    if unit is not None and unit.strip().lower() != record.unit.lower():
        raise WrongUse(f"job {row.id} is about `{record.unit}`: leave --unit out")
    return row.id, record.unit, complaint or record.complaint or None


def header_of(state: SessionState) -> dict[str, str]:
    """Return what a session that begins is stored with: what it is about, by which rules."""
    rules = state.rulebook.hash
    return {"unit": state.unit.id, "complaint": state.complaint, "rulebook": rules}


def recorder(store: Store, session: str) -> Callable[[Event], None]:
    """Return what keeps an event of a session before it counts."""
    from diag.session.journal.events import as_record

    def record(event: Event) -> None:
        store.append(session, *as_record(event))

    return record


def begin_session(
    store: Store, state: SessionState, told: OpeningWords, screen: Screen
) -> tuple[str, str]:
    """Begin a session of a job, a new one where none is named; return the ids of both.

    Where the heater has an open job already, that is said.
    """
    job = told.job or _open_job(store, state.unit.id, told.words or state.complaint)
    jobs = jobs_of(store)
    tag = "" if told.job else jobs.job(job).tag
    for other in jobs.jobs(of_unit=tag, open_only=True, count=2) if tag else ():
        if other.id != job:
            screen.say(
                f"{tag} has an open job already, {other.id}; `diag ask --job {other.id}` would "
                "keep to that. This session has a job of its own."
            )
    return store.create(header_of(state), job), job


def job_of(store: Store, row: SessionRow) -> str:
    """Return the job of a session; one from before there were jobs is given a new one."""
    if row.job:
        return row.job
    job = _open_job(store, str(row.header["unit"]), str(row.header["complaint"]))
    store.give_to_job(row.id, job)
    return job


def titled(store: Store, row: SessionRow) -> str:
    """Return what people know a session's job by; empty where it belongs to none."""
    return jobs_of(store).job(row.job).title if row.job else ""


def session_to_resume(store: Store, named: str) -> SessionRow:
    """Return the session of that id, or the latest open one of the job of that id, or of all.

    Raises `WrongUse` where none is open, and `StoreError` for one that there is not.
    """
    from diag.store import StoreError

    if not named:
        rows = store.sessions(open_only=True, most=1)
        if not rows:
            raise WrongUse("no session is open; begin one with `diag ask`")
        return rows[0]
    try:
        return store.session(named)
    except StoreError:
        jobs = jobs_of(store)
        if not store.rows("select 1 from jobs where id = ?", (named,)):
            raise
        ids = {one.id for one in jobs.sessions(named)}
    for row in store.sessions(open_only=True):
        if row.id in ids:
            return row
    raise WrongUse(f"job {named} has no open session; begin one: diag ask --job {named}")


def _open_job(store: Store, unit: str, words: str) -> str:
    from diag.cli.jobs.opening import tagged
    from diag.cli.jobs.typed import LONGEST_TEXT
    from diag.cli.jobs.typed import words as one_line
    from diag.jobs.entries import Labelled, Opened, entry_as_data

    said = one_line(words[:LONGEST_TEXT], "complaint", LONGEST_TEXT)
    return jobs_of(store).open(*entry_as_data(Opened(unit, said, tagged(unit, Labelled()))))
