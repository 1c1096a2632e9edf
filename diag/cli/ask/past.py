"""What is known of a heater and of all jobs as a session opens: recalled, shown, and summed up."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

from diag.cli.terminal.screen import Screen, sentence

if TYPE_CHECKING:  # imported where there is a record, so that the first question comes at once
    from diag.cli.ask.opening import OpeningWords
    from diag.jobs.past.unit_past import UnitPast
    from diag.session.controller import SessionController
    from diag.session.journal.recalled import Recalled
    from diag.session.state import SessionState
    from diag.store import Store

MOST_MOVES, MOST_REASONS = 3, 3


def recall(store: Store, session: str, state: SessionState) -> tuple[Recalled, UnitPast] | None:
    """Return what a session uses of the record and of its heater's past; None without a job."""
    job = store.session(session).job
    if job is None:
        return None
    from diag.jobs.learning.shares import as_recalled, learned_shares
    from diag.jobs.learning.summary import summarise
    from diag.jobs.past.repaired import recollections
    from diag.jobs.past.unit_past import past_of
    from diag.store.outcomes import Outcomes

    book, outcomes = state.rulebook, Outcomes(store)
    past = past_of(store, job, session)
    stale = outcomes.stale(one.id for one in past.jobs)
    for name in stale:  # left by a kill, or come from another bench
        if name != session:
            summarise(store, book, name)
    past = past_of(store, job, session) if stale else past
    proved, links = outcomes.proved(state.complaint), state.compiled.links
    learned = learned_shares(book, state.complaint, proved, state.unit.id, links)
    repairs = (repair for one in past.jobs for repair in one.repairs)
    return as_recalled(learned, recollections(repairs, book, store.now())), past


def begin_with_record(
    told: OpeningWords, controller: SessionController, store: Store, session: str, screen: Screen
) -> None:
    """Record what was told before the session, and in a fresh one what the record of jobs says."""
    is_new = not controller.state.journal
    told.begin(controller)
    if is_new and not told.by_rules_alone:
        open_with_record(store, session, screen, controller)


def open_with_record(
    store: Store, session: str, screen: Screen, controller: SessionController
) -> None:
    """Write into a fresh journal what it uses of the record, and show it before the first question.

    A danger comes first: while one is not heeded nothing is shown; `why` tells it all the same.
    """
    found = recall(store, session, controller.state)
    if found is None:
        return
    recalled, past = found
    if recalled.shares or recalled.past:
        controller.record(recalled)
    if controller.state.dangers.unheeded:
        return
    if past.jobs or past.conflicts:
        from diag.cli.account.past import show_past

        show_past(screen, store, past, controller.state)
    for line in told_record(controller.state):
        screen.say(line)
    if recalled.shares or recalled.past:
        screen.say("`undo` at the first question goes on without it; so does --without-record.")


def told_record(state: SessionState) -> Iterator[str]:
    """Yield in a few sentences what the record did to the suspects; nothing where none is used."""
    recalled, causes = state.recalled, state.rulebook.causes
    if not (recalled.shares or recalled.past):
        return
    from diag.cli.account.line import percent
    from diag.model.phrasing import in_a_row
    from diag.session.account.recalled import moved_by_record

    for one in recalled.past[:MOST_REASONS]:
        less = "less likely" if one.times < 1 else "likelier"
        yield sentence(f"{causes[one.cause].title} is {less} here: {one.why}")
    moved = [
        f"`{one.cause}` from {place(one.was)} to {place(one.now)} suspect "
        f"({percent(one.share_was)} to {percent(one.share)})"
        for one in moved_by_record(state)[:MOST_MOVES]
        if percent(one.share_was) != percent(one.share)  # what only made room is no news
    ]
    repairs, counts = recalled.repairs, recalled.complaint in state.complaints
    proved = f"{repairs} proved repair{'' if repairs == 1 else 's'} here"
    behind = proved if recalled.shares and counts else "this heater's past"
    if moved:
        yield f"The record ({behind}) moves {in_a_row(moved)}."
    else:
        yield f"The record ({behind}) leaves the first suspects in their order."


def place(number: int) -> str:
    """Write a place in a row.

    >>> place(1), place(2), place(3), place(11), place(22)
    ('1st', '2nd', '3rd', '11th', '22nd')
    """
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}{({1: 'st', 2: 'nd', 3: 'rd'}).get(number % 10, 'th')}"


def sum_up(store: Store, session: str, state: SessionState) -> None:
    """Keep what a session of a job came to, for the sessions that come after it.

    Where that cannot be kept now, it follows from the journal whenever it is wanted.
    """
    if store.session(session).job is not None:
        from diag.jobs.learning.summary import summarise
        from diag.store import StoreError

        with suppress(StoreError):
            summarise(store, state.rulebook, session)
