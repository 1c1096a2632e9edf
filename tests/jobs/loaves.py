"""Another subject's rules with jobs of it in a store, for tests of what a record teaches."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from diag.jobs.entries import Labelled, Opened, entry_as_data
from diag.jobs.record import index_of
from diag.rulebook import load_rulebook
from diag.session.journal.events import Answered, Event, Repaired, as_record
from diag.store import Store
from diag.store.jobs import Jobs

BREAD = load_rulebook([Path(__file__).parents[1] / "books" / "bread"], {})
LOAF, POOR = "tin loaf", "poor crust"
UNLABELLED = Labelled()


def answered(finding: str, value: str) -> Event:
    return Answered(finding, value, "seen")


def found(cause: str, *before: Event, proved: bool = True) -> list[Event]:
    """Return a session: what was read, the repair, and a run that proves it or fails it."""
    after = {
        "top not slashed": [answered("slashed", "yes" if proved else "no")],
        "oven too hot": [],
    }[cause]
    gone = answered("crust", "golden" if proved else "torn")
    again = Answered("crust", "torn", "seen", again=True)
    return [*before, Repaired(cause), *after, gone, *([] if proved else [again])]


def job_in(store: Store, journal: Sequence[Event], label: Labelled = UNLABELLED) -> str:
    """Begin a job with one session of these events; return the session."""
    opened = Opened(LOAF, "its crust is pale", label)
    job = Jobs(store, index_of).open(*entry_as_data(opened))
    session = store.create({"unit": LOAF, "complaint": POOR, "rulebook": BREAD.hash}, job)
    for event in journal:
        store.append(session, *as_record(event))
    return session
