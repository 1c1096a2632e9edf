"""The sessions of a job, each with its history; what can no longer be read is told and left out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diag.jobs.history.session import session_history
from diag.jobs.history.told import JobHistory
from diag.model.rulebook import Rulebook
from diag.store.sessions import SessionRow, StoredEvent

StoredSession = tuple[SessionRow, Sequence[StoredEvent]]


def job_history(book: Rulebook, sessions: Iterable[StoredSession]) -> JobHistory:
    """Return the history of the sessions of a job, taken in their order."""
    told, left_out = [], []
    for row, events in sessions:
        why = why_not_read(book, row)
        if why:
            left_out.append(f"Session {row.id} cannot be read any more, and is left out: {why}.")
        else:
            told.append(session_history(book, row, events))
    return JobHistory(tuple(told), tuple(left_out))


def why_not_read(book: Rulebook, row: SessionRow) -> str:
    """Return why a session cannot be read with these rules; empty where it can."""
    unit, complaint = row.header.get("unit"), row.header.get("complaint")
    if not isinstance(unit, str) or not isinstance(complaint, str):
        return "it no longer says which unit and complaint it is about"
    if unit not in book.units:
        return f"the rules no longer know the unit `{unit[:40]}`"
    if complaint not in book.complaints:
        return f"the rules no longer know the complaint `{complaint[:40]}`"
    return ""
