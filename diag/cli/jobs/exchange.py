"""`diag jobs export` and `diag jobs import`: records that go from bench to bench as files."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, closing, nullcontext, suppress
from itertools import islice
from pathlib import Path
from typing import IO

from diag.cli.guard import CONTENT, say
from diag.cli.places import new_file, path_of
from diag.cli.stored import open_store
from diag.cli.terminal.source import at_keyboard
from diag.jobs.people import without_people
from diag.jobs.record import index_of
from diag.store import Store, StoreError
from diag.store.exchange.bundle import Bundle, JobBundle
from diag.store.exchange.incoming import Incoming
from diag.store.exchange.lines import lines_of, read_lines
from diag.store.exchange.outgoing import all_names, bundles
from diag.store.jobs import Jobs

AT_ONCE = 200
"""Lines that are taken in together: all of them are on the disk, or none is."""
MOST_TOLD = 20


def export_jobs(names: list[str], output: str | None, *, people: bool) -> int:
    """Write jobs, and sessions that belong to none, to a new file or to the output."""
    with closing(open_store()) as store:
        jobs, loose = _named(store, names) if names else all_names(store)
        found = bundles(store, jobs, loose)
        kept = _Open(found if people else map(without_people, found))
        lines = lines_of(kept, len(jobs) + len(loose), people=people)
        if output is None:
            sys.stdout.writelines(lines)
            return 0
        _write(path := new_file(output), lines)
    say(f"Written to `{path}`: jobs and sessions without one, {len(jobs) + len(loose)} in all.")
    if kept.names:
        say(
            f"Open in it: session {', '.join(kept.names[:MOST_TOLD])}. Go on with a session at one "
            "bench at a time; what is done at two is kept as two."
        )
    return 0


class _Open:
    """Bundles that pass by; the sessions among them that are not ended are noted."""

    def __init__(self, found: Iterable[Bundle]) -> None:
        self._found = found
        self.names: list[str] = []

    def __iter__(self) -> Iterator[Bundle]:
        for bundle in self._found:
            sessions = bundle.sessions if isinstance(bundle, JobBundle) else (bundle,)
            self.names += [one.id for one in sessions if one.outcome is None]
            yield bundle


def _named(store: Store, names: list[str]) -> tuple[list[str], list[str]]:
    """Return the jobs that are meant, a session standing for its job, and sessions without one."""
    known = Jobs(store, index_of)
    jobs, loose = [], []
    for name in dict.fromkeys(names):
        found = store.rows("select job from sessions where id = ?", (name,))
        if not found or store.rows("select 1 from jobs where id = ?", (name,)):
            jobs.append(known.job(name).id)
        elif found[0][0] is None:
            loose.append(name)
        else:
            jobs.append(str(found[0][0]))
    return list(dict.fromkeys(jobs)), loose


def _write(path: Path, lines: Iterable[str]) -> None:
    """Write a new file whole or not at all."""
    if path.exists():
        raise StoreError(f"`{path}` is there already: name another file")
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        with fresh.open("w", encoding="utf-8") as file:
            file.writelines(lines)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
    finally:
        with suppress(OSError):
            fresh.unlink()


def import_jobs(files: list[str], *, anyway: bool = False) -> int:
    """Take in each file, say what came of it; return 1 where a line or a file was left out.

    Jobs that were erased here stay so, unless they are wanted `anyway`.
    """
    left_out = 0
    with closing(open_store()) as store:
        jobs = Jobs(store, index_of)
        for name in files:
            try:
                left_out += _import(Incoming(store, jobs, anyway=anyway), name)
            except (StoreError, OSError) as refused:
                if len(files) == 1:
                    raise
                left_out += 1
                why = f"`{name}` cannot be read" if isinstance(refused, OSError) else str(refused)
                say(why)
    return CONTENT if left_out else 0


def _import(incoming: Incoming, name: str) -> int:
    """Take in a file: what is sound in it, line by line; return how many lines are not."""
    path, bad = "standard input" if name == "-" else str(path_of(name)), []
    with _opened(name) as file:
        lines = read_lines(file, path)
        while some := list(islice(lines, AT_ONCE)):
            bad += [
                f"`{path}`, line {number} {one}" for number, one in some if isinstance(one, str)
            ]
            incoming.take(one for _, one in some if not isinstance(one, str))
    for told in (incoming.said, bad):
        for line in told[:MOST_TOLD]:
            say(line)
        if len(told) > MOST_TOLD:
            say(f"and {len(told) - MOST_TOLD} more of the kind")
    say(
        f"`{path}`: {incoming.new} new, {incoming.grown} with more in them, "
        f"{incoming.known} known already."
    )
    if incoming.erased:
        say(
            f"Erased here before, and left out: {len(incoming.erased)}. `--anyway` takes in what "
            "was erased."
        )
    return len(bad)


def _opened(name: str) -> AbstractContextManager[IO[bytes]]:
    """Open a file to read; `-` is the standard input, which stays open."""
    if name != "-":
        return path_of(name).open("rb")
    at_keyboard()
    return nullcontext(sys.stdin.buffer)
