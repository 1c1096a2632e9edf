"""`diag jobs check`: all that is kept looked through for damage, in a file or at a server."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path

from diag.cli.jobs.show import bad_files
from diag.cli.places import data_folder, path_of, sessions_file
from diag.cli.stored import jobs_of, open_jobs, open_store, shared_address
from diag.cli.terminal.progress import patience, progress
from diag.cli.terminal.screen import Screen
from diag.jobs.record import record_of
from diag.model.phrasing import capital
from diag.store import StoreError
from diag.store.care import faults_at_server, faults_in, sum_file
from diag.store.jobs import Jobs

FOUND = 1
"""Exit code of a check that finds something."""


def run_check_kept(file: str | None) -> int:
    """Look through all that is kept, or a backup; return 1 where something is wrong."""
    screen = Screen()
    if file:
        return _check_backup(screen, path_of(file))
    return _check_shared(screen) if shared_address() else _check_own(screen, sessions_file())


def _check_own(screen: Screen, path: Path) -> int:
    if not path.exists():
        screen.say(f"Nothing is kept yet in `{data_folder()}`.")
        return 0
    faults = faults_in(path)
    if not faults:
        with open_jobs() as jobs:
            faults = list(_wrong_in(jobs))
    if _told(screen, faults):
        screen.say(f"`diag jobs restore FILE` puts a backup in the place of `{path}`.")
        return FOUND
    screen.say(f"`{path}` is sound: every page, every key, and every row by its sum.")
    return 0


def _check_backup(screen: Screen, path: Path) -> int:
    if _told(screen, faults_in(path)):
        screen.say(f"`{path}` is not to be relied on: take another backup.")
        return FOUND
    screen.say(f"`{path}` is sound: every page, every key, and every row by its sum.")
    if not sum_file(path).exists():
        screen.say(
            f"No `{sum_file(path).name}` lies beside it, so what no row uses was not looked at."
        )
    return 0


def _check_shared(screen: Screen) -> int:
    """Look through what a bench can read of the shared record, and say what its keeper looks at."""
    with closing(open_store()) as store:
        if store.in_file:
            raise StoreError("the shared record can be looked through once it answers again")
        with patience("Looking at each row"):
            faults = list(faults_at_server(store))
        faults += _wrong_in(jobs_of(store))
        name = store.database.name
    if not _told(screen, faults):
        screen.say(
            f"The record of {name} is sound as far as a bench can see: every row by its sum."
        )
    screen.say(
        "The one who keeps it looks through its pages and indexes with `pg_amcheck`, and puts a "
        "backup of it back with `pg_restore`."
    )
    return FOUND if faults else 0


def _told(screen: Screen, faults: Sequence[str]) -> bool:
    """Write what is wrong, each as a sentence; tell whether anything is."""
    for fault in faults:
        screen.say(f"{capital(fault)}.")
    return bool(faults)


def _wrong_in(jobs: Jobs) -> Iterator[str]:
    """Yield what is wrong with single jobs: how they are found, and files of this bench."""
    rows = jobs.jobs(count=-1)
    with progress("Looking at each job") as done:
        for at, row in enumerate(rows):
            done(at / len(rows))
            entries = jobs.entries(row.id)
            if jobs.is_misfiled(row.id, entries):
                yield f"job `{row.id}` is not found by what it says"
            for told in bad_files(record_of(entries)) if jobs.store.in_file else ():
                yield f"job `{row.id}`: {told}"
