"""What is written down about a job: notes, parts, work, offers, its end, and what was a mistake."""

from __future__ import annotations

from collections import Counter

from diag.cli.guard import WrongUse
from diag.cli.jobs.currency import in_currency
from diag.cli.jobs.finding import job_named, told_job
from diag.cli.jobs.typed import LONGEST_TEXT, part_of, words, worked
from diag.cli.stored import open_jobs
from diag.cli.terminal.screen import Screen
from diag.jobs.entries import (
    Ended,
    Offered,
    PartUsed,
    Remarked,
    Reopened,
    Struck,
    Worked,
    Written,
    entry_as_data,
)
from diag.jobs.record import At, JobRecord, record_of

CLOSED = "closed"
"""The outcome of a job that is closed with none said, and without a session that ended."""


def run_note(job: str, text: list[str]) -> int:
    """Keep a remark; return the exit code."""
    return _write(job, Remarked(words(" ".join(text), "note", LONGEST_TEXT)), "Noted")


def run_part(job: str, name: list[str], price: str | None, cause: str | None) -> int:
    """Keep a part that was fitted; return the exit code."""
    part = part_of(" ".join(name), price, cause)
    return _write(job, part, told_part(part))


def told_part(part: PartUsed) -> str:
    """Return how a part is read back."""
    at = f", {in_currency(part.price)}" if part.price else ", no price"
    return f"Part: {part.name}{at}"


def run_work(job: str, time: str, what: list[str] | None) -> int:
    """Keep minutes of work; return the exit code."""
    work = worked(time, " ".join(what or ()))
    return _write(job, work, told_work(work))


def told_work(work: Worked) -> str:
    """Return how work is read back."""
    return f"Work: {work.minutes:g} min{f', {work.what}' if work.what else ''}"


def run_offer(job: str, what: list[str], accepted: bool, declined: bool, why: str | None) -> int:
    """Keep what the owner said to work that was offered; return the exit code."""
    if accepted == declined:
        raise WrongUse("say what the owner answered: --accepted or --declined")
    offer = Offered(words(" ".join(what), "offer"), accepted, words(why, "reason") if why else "")
    return _write(job, offer, told_offer(offer))


def told_offer(offer: Offered) -> str:
    """Return how an offer is read back."""
    answer = "accepted" if offer.accepted else "declined"
    return f"Offered: {offer.what}; {answer}{f', {offer.why}' if offer.why else ''}"


def run_close(job: str, outcome: list[str] | None) -> int:
    """Close a job; return the exit code."""
    screen = Screen()
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        if row.outcome is not None:
            raise WrongUse(f"job {row.id} is closed already ({row.outcome})")
        sessions = jobs.sessions(row.id)
        ended = [one.outcome for one in sessions if one.outcome is not None]
        said = words(" ".join(outcome), "outcome") if outcome else (ended or [CLOSED])[-1]
        jobs.append(row.id, *entry_as_data(Ended(said)))
        screen.say(f"Job {told_job(row)} is closed{'' if said == CLOSED else f': {said}'}.")
        for one in sessions:
            if one.outcome is None:
                screen.say(f"Its session {one.id} can still go on: diag ask --resume {one.id}")
    return 0


def run_reopen(job: str, why: str | None) -> int:
    """Take a closed job up again; return the exit code."""
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        if row.outcome is None:
            raise WrongUse(f"job {row.id} is open")
        jobs.append(row.id, *entry_as_data(Reopened(words(why, "reason") if why else "")))
        Screen().say(f"Job {told_job(row)} is open again.")
    return 0


def run_strike(job: str, number: str) -> int:
    """Strike an entry out, so that it counts no more; return the exit code."""
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        shown = strikeable(record_of(jobs.entries(row.id)))
        if number not in shown:
            known = ", ".join(shown) or "none"
            raise WrongUse(
                f"job {row.id} has no entry `{number[:20]}` that can be struck out: there "
                f"{'is' if len(shown) < 2 else 'are'} {known}"
            )
        jobs.append(row.id, *entry_as_data(Struck(shown[number].uid)))
        Screen().say(f"Written {number} of job {told_job(row)} is struck out and counts no more.")
    return 0


def strikeable(record: JobRecord) -> dict[str, At]:
    """Return the entries that can be struck out, by the names under which they are shown.

    That is an entry's number; two benches may have given the same one, and then more is named.
    """
    added = (
        record.notes,
        record.figures,
        record.parts,
        record.work,
        record.offers,
        record.attached,
    )
    found = sorted((one for each in added for one in each), key=lambda one: (one.number, one.uid))
    counts = Counter(one.number for one in found)
    return {
        f"{one.number}" if counts[one.number] == 1 else f"{one.number}-{one.uid[:4]}": one
        for one in found
    }


def _write(job: str, entry: Written, told: str) -> int:
    with open_jobs() as jobs:
        row = job_named(jobs, job)
        jobs.append(row.id, *entry_as_data(entry))
        Screen().say(f"{told}. Kept in job {told_job(row)}.")
    return 0
