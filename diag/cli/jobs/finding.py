"""Which job is meant: by its id, or by the tag or serial of its unit."""

from __future__ import annotations

from diag.cli.guard import WrongUse
from diag.cli.jobs.typed import words
from diag.model.phrasing import in_a_row
from diag.store import StoreError
from diag.store.jobs import JobRow, Jobs

MOST_NAMED = 3


def job_named(jobs: Jobs, text: str) -> JobRow:
    """Return the job of that id, else the only one, or the only open one, of that tag or serial.

    Raises `StoreError` for none, and `WrongUse` where there are several.
    """
    wanted = words(text, "name of a job")
    try:
        return jobs.job(wanted.lower())
    except StoreError:
        rows = jobs.jobs(of_unit=wanted, count=MOST_NAMED)
        still_open = jobs.jobs(of_unit=wanted, open_only=True, count=2) if rows else []
        if not rows:
            raise
    for found in (rows, still_open):
        if len(found) == 1:
            return found[0]
    ids = in_a_row([f"`{one.id}`" for one in rows], "or")
    raise WrongUse(f"`{wanted[:40]}` has several jobs: name one by its id, as {ids}")


def told_job(row: JobRow) -> str:
    """Return how a job is named in a sentence: its id, and what people know it by."""
    return f"{row.id} ({row.title})" if row.title else row.id
