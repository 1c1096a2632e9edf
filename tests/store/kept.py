"""A file of sessions with some of everything in it, and all that it says, read the slow way."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from diag.jobs.entries import Attached, Labelled, Opened, PartUsed, Remarked, Worked, entry_as_data
from diag.jobs.record import index_of
from diag.store import Store
from diag.store.jobs import Jobs

PEOPLE = ("Wilhelmina Appleyard", "Ferdinand Quarrington")
"""Invented owners, one a job, with names that stand nowhere else."""


def filled(path: Path) -> list[str]:
    """Keep a job for each of `PEOPLE`, with entries and two sessions each; return their ids."""
    store = Store(path)
    jobs, made = Jobs(store, index_of), []
    for number, name in enumerate(PEOPLE):
        label = Labelled(customer=name, tag=f"LIB-{number:02}", serial=f"00{number}")
        job = jobs.open(*entry_as_data(Opened("kettle", f"{name} says it is cold", label)))
        for entry in (
            Remarked(f"{name} rang twice"),
            PartUsed("filter", "4.50"),
            Worked(20, f"at the yard of {name}"),
            Attached(f"/photographs/{name}.jpg", "0" * 64, 12),
            Labelled(vehicle=f"van of {name}"),
        ):
            jobs.append(job, *entry_as_data(entry))
        for _ in range(2):
            session = store.create({"unit": "kettle", "complaint": "cold"}, job)
            store.append(session, "noted", {"text": f"{name} was here", "when": ""})
            store.append(session, "answered", {"finding": "lid", "value": "open", "how": "seen"})
        store.close_session(session, "found")
        made.append(job)
    store.close()
    return made


def all_that_is_kept(path: Path) -> Any:
    """Return every session with its events and every job with its entries, as the store says."""
    store = Store(path)
    try:
        jobs = Jobs(store, index_of)
        return (
            [(row, store.events(row.id)) for row in store.sessions()],
            [(row, jobs.entries(row.id), jobs.sessions(row.id)) for row in jobs.jobs(count=-1)],
        )
    finally:
        store.close()
