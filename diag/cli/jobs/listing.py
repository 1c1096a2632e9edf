"""`diag jobs list`, `search` and `session`: what there is, fifty at a time, the latest first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.cli.guard import WrongUse
from diag.cli.jobs.typed import words
from diag.cli.stored import open_jobs
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.when import local
from diag.store.jobs import PAGE, JobRow, Jobs


def run_list(*, open_only: bool, unit: str | None, page: str | None, plain: bool) -> int:
    """List a page of the jobs, of one unit if its tag or serial is named; return the exit code."""
    screen, number = Screen(plain=plain), page_typed(page)
    of_unit = words(unit, "tag or serial") if unit is not None else ""
    with open_jobs() as jobs:
        count = jobs.count(open_only=open_only, of_unit=of_unit)
        pages = max(1, -(-count // PAGE))
        if number > pages:
            raise WrongUse(f"there {'is 1 page' if pages == 1 else f'are {pages} pages'} of jobs")
        rows = jobs.jobs(open_only=open_only, of_unit=of_unit, first=(number - 1) * PAGE)
        show_jobs(screen, jobs, rows)
    if not count:
        which = "open job" if open_only else "job"
        whose = f" of `{of_unit[:40]}`" if of_unit else ""
        screen.say(f"There is no {which}{whose} yet. Begin one: diag jobs open, or diag ask")
    elif pages > 1:
        more = f" `--page {number + 1}` shows the next." if number < pages else ""
        screen.say(f"Page {number} of {pages}, {count} jobs.{more}")
    return 0


def run_search(typed: list[str], *, open_only: bool, page: str | None, plain: bool) -> int:
    """List the jobs in which all the words are found; return the exit code."""
    screen, number = Screen(plain=plain), page_typed(page)
    wanted = words(" ".join(typed), "search")
    with open_jobs() as jobs:
        first = (number - 1) * PAGE
        rows = jobs.jobs(open_only=open_only, words=wanted, first=first, count=PAGE + 1)
        show_jobs(screen, jobs, rows[:PAGE])
    if not rows:
        more = " more" if number > 1 else ""
        screen.say(f"No{more} job holds `{wanted[:60]}`; what was read is not searched.")
    elif len(rows) > PAGE:
        screen.say(f"There are more: `--page {number + 1}` shows the next.")
    return 0


def show_jobs(screen: Screen, jobs: Jobs, rows: Sequence[JobRow]) -> None:
    """Write jobs, one a line."""
    ended = jobs.latest_outcomes([row.id for row in rows])
    screen.table((row.id, local(row.opened)[:10], _stands(row, ended), row.title) for row in rows)


def _stands(row: JobRow, ended: Mapping[str, str | None]) -> str:
    """Return how a job stands: its outcome, or that it is open and how its latest session ended."""
    if row.outcome is not None:
        return row.outcome
    latest = ended.get(row.id)
    return f"open, {latest}" if latest else "open"


def run_sessions(screen: Screen) -> int:
    """List the latest sessions, finished ones too; return the exit code."""
    with open_jobs() as jobs:
        rows = jobs.store.sessions(most=PAGE)
    screen.table(
        (
            row.id,
            local(row.last)[:10],
            row.outcome or "open",
            f"job {row.job}" if row.job else "no job",
            f"{row.header.get('unit', 'not known')}, {row.header.get('complaint', 'not known')}",
        )
        for row in rows
    )
    if not rows:
        screen.say("There is no session yet. Begin one: diag ask")
    return 0


def page_typed(text: str | None) -> int:
    """Return the number of a page; `WrongUse` for what is none."""
    if text is None:
        return 1
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 8 else 0
    if number < 1:
        raise WrongUse(f"`{text[:20]}` is no page: type a number from 1 on")
    return number
