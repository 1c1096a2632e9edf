"""One session read again: its readings by stage, dangers, repairs, what nobody read, remarks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast, get_args

from diag.cli.book import load_book
from diag.cli.guard import WrongUse
from diag.cli.jobs.listing import run_sessions
from diag.cli.stored import open_jobs
from diag.cli.terminal.endings import HEADLINES, named_few, show_repair
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.when import local
from diag.jobs.history.stages import ReadStage, stages_of
from diag.model.problem import ProblemsFound
from diag.model.rulebook import Rulebook
from diag.session.journal.events import Event, journal_of
from diag.session.proof.ending import Ending, EndingKind, ending
from diag.session.result import shown
from diag.session.state import SessionState
from diag.store import SessionRow, Store

KINDS_OF_END: tuple[str, ...] = get_args(EndingKind)


def run_session(session: str | None, plain: bool) -> int:
    """Show a session, or list the latest where none is named; return the exit code."""
    screen = Screen(plain=plain)
    if session is None:
        return run_sessions(screen)
    with open_jobs() as jobs:
        show_session(screen, jobs.store, jobs.store.session(session.strip().lower()), book_now())
    return 0


def book_now() -> Rulebook | None:
    """Return the rules as they are now; None where they cannot be read."""
    try:
        return load_book()
    except (ProblemsFound, WrongUse):
        return None


def show_session(screen: Screen, store: Store, row: SessionRow, book: Rulebook | None) -> None:
    """Write all of a session; what needs rules that are no longer there is left out, and told."""
    journal = journal_of(store.events(row.id))
    state = _replayed(row, journal, book)
    screen.heading(f"Session {row.id}, {local(row.started)}")
    screen.say(f"Of {row.header.get('unit', 'not known')}, {row.header.get('complaint', '')}.")
    headline = HEADLINES.get(row.outcome or "", row.outcome)
    screen.say(headline or f"It is open. Go on with: diag ask --resume {row.id}", bold=True)
    _readings(screen, stages_of(journal), state, local(row.started))
    if state is None:
        screen.say("The rules of now do not hold this unit or complaint: nothing is judged.")
        return
    _judged(screen, state, row.outcome)


def _replayed(
    row: SessionRow, journal: Sequence[Event], book: Rulebook | None
) -> SessionState | None:
    """Return the state that a journal comes to by these rules; None where they do not hold it."""
    unit, complaint = str(row.header.get("unit")), str(row.header.get("complaint"))
    if book is None or unit not in book.units or complaint not in book.complaints:
        return None
    return SessionState(book, book.units[unit], complaint).replay(journal)


def _readings(
    screen: Screen, stages: Sequence[ReadStage], state: SessionState | None, begun: str
) -> None:
    """Write what was read in each stage, how and when; the day only where it is another one."""
    day = begun.partition(" ")[0] + " "
    for stage in stages:
        if not stage.readings:
            continue
        cause = state.rulebook.causes.get(stage.after) if state else None
        repair = cause.title if cause else stage.after
        screen.say(f"After the repair: {repair}" if repair else "Readings", bold=True)
        screen.table(
            (name, shown(one.value), f"{one.how} {local(one.when).removeprefix(day)}".rstrip())
            for name, one in stage.readings.items()
        )


def _judged(screen: Screen, state: SessionState, outcome: str | None) -> None:
    """Write dangers, repairs, what nobody read, slips and remarks."""
    for told in state.left_out:
        screen.say(sentence(told))
    kind = outcome if outcome in KINDS_OF_END else "not found out"
    found = ending(state, cast(EndingKind, kind))
    for one in found.passages:
        title = state.rulebook.dangers[one.danger].title
        screen.item("danger", f"{title}: {one.what} by `{one.by}`.", width=7)
    for name in found.holding:
        screen.item("danger", f"{state.rulebook.dangers[name].title}: it holds still.", width=7)
    for result in found.results:
        show_repair(screen, state.rulebook, result)
    declined = [state.rulebook.causes[name].title for name in sorted(state.declined)]
    if declined:
        screen.item("turned", f"down: {'; '.join(declined)}.", width=7)
    _not_looked_at(screen, state, found)
    for one_slip in found.slips:
        screen.item("slip", f"`{one_slip.finding}`, and with it a danger.", width=7)
    for text in state.notes:
        screen.item("note", text, width=7)


def _not_looked_at(screen: Screen, state: SessionState, found: Ending) -> None:
    if found.not_read:
        screen.item("unread", f"nobody read {named_few(found.not_read)}.", width=7)
    left = sorted(state.rulebook.asked_first & state.passed.keys())
    if left:
        screen.item("unread", f"of danger, nobody could say: {named_few(left)}.", width=7)
