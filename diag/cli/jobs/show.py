"""`diag jobs show`: all that is kept about a job."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from diag.cli.jobs.finding import job_named
from diag.cli.jobs.opening import differences, show_label
from diag.cli.jobs.run import strikeable, told_offer, told_part, told_work
from diag.cli.jobs.sessions import book_now, show_session
from diag.cli.stored import open_jobs
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.when import local
from diag.jobs.entries import Attached, Figured, Offered, PartUsed, Remarked, Worked, Written
from diag.jobs.record import JobRecord, record_of
from diag.store.care import sha256_of
from diag.store.jobs import JobRow

HEADINGS = {"parts": "Parts", "work": "Work", "offers": "Offers", "notes": "Notes",
            "figures": "Bench sums", "attached": "Files"}  # fmt: skip


def run_show_job(job: str, plain: bool) -> int:
    """Show a job; return the exit code."""
    screen = Screen(plain=plain)
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        record, sessions = record_of(jobs.entries(row.id)), jobs.sessions(row.id)
        _head(screen, row, record)
        for told in differences(jobs, row.id):
            screen.say(told)
        book = book_now() if sessions else None
        for one in sessions:
            show_session(screen, jobs.store, one, book)
        if not sessions:
            screen.say(f"No session yet. Begin one with: diag ask --job {row.id}")
        _entries(screen, record)
        if record.unreadable:
            kinds = ", ".join(sorted({told_entry(one.entry) for one in record.unreadable}))
            screen.say(f"{len(record.unreadable)} entries cannot be read by this version: {kinds}.")
    return 0


def _head(screen: Screen, row: JobRow, record: JobRecord) -> None:
    screen.heading(f"Job {row.id}: {record.title}")
    screen.item("unit", record.unit, width=9)
    show_label(screen, record.label)
    if record.complaint:
        screen.item("complaint", f'"{record.complaint}"', width=9)
    screen.item("opened", local(record.opened), width=9)
    if record.outcome is not None:
        screen.item("closed", f"{local(record.ended)}: {record.outcome}", width=9)


def _entries(screen: Screen, record: JobRecord) -> None:
    """Write what was added, each with its number, by which it can be struck out."""
    names = {one.uid: name for name, one in strikeable(record).items()}
    for field, heading in HEADINGS.items():
        added = getattr(record, field)
        if added:
            screen.heading(f"{heading}{_in_all(record) if field == 'work' else ''}")
        for one in added:
            screen.item(names[one.uid], f"{told_entry(one.entry)} ({local(one.at)})", width=4)


def _in_all(record: JobRecord) -> str:
    times = [one.entry.minutes for one in record.work if isinstance(one.entry, Worked)]
    return f", {sum(times):g} min in all"


def told_entry(entry: Written) -> str:
    """Return what an entry says."""
    if isinstance(entry, PartUsed):
        mends = f", for {entry.cause}" if entry.cause else ""
        return f"{told_part(entry).removeprefix('Part: ')}{mends}"
    if isinstance(entry, Worked):
        return told_work(entry).removeprefix("Work: ")
    if isinstance(entry, Offered):
        return told_offer(entry).removeprefix("Offered: ")
    if isinstance(entry, Attached):
        return f"{entry.path}, {entry.size} bytes{told_file(entry)}"
    if isinstance(entry, Remarked | Figured):
        return entry.text
    return f"`{getattr(entry, 'kind', '')}`"


def told_file(entry: Attached) -> str:
    """Return what is wrong with an attached file, in words behind its name; empty for nothing."""
    try:
        same = Path(entry.path).stat().st_size == entry.size
        same = same and sha256_of(Path(entry.path)) == entry.sha256
    except FileNotFoundError:
        return ": MISSING, it is no longer there"
    except (OSError, ValueError) as error:
        return f": cannot be read ({getattr(error, 'strerror', None) or error})"
    return "" if same else ": CHANGED since it was attached"


def bad_files(record: JobRecord) -> Iterator[str]:
    """Yield a sentence for each attached file that is not as it was."""
    for one in record.attached:
        if isinstance(one.entry, Attached) and (wrong := told_file(one.entry)):
            yield f"`{one.entry.path}`{wrong}"
