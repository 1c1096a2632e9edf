"""`diag ask`: choose unit and complaint, then work through the session, or answer a script."""

from __future__ import annotations

import gc
from collections.abc import Callable
from contextlib import closing, nullcontext
from functools import partial
from typing import TYPE_CHECKING

from diag.cli.ask.opening import OpeningWords, said_to_be_wrong
from diag.cli.ask.past import begin_with_record, sum_up
from diag.cli.book import find_complaint, find_unit, load_book, rule_folders, unit_named
from diag.cli.guard import WrongUse
from diag.cli.places import history_file
from diag.cli.stored import jobs_of, open_store
from diag.cli.terminal.line_editing import history
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Keyboard, NoMore, Source, at_keyboard, source_of
from diag.cli.terminal.when import local

if TYPE_CHECKING:  # imported where they are used, so that the first question comes at once
    from diag.cli.ask.script import Script
    from diag.model.rulebook import Rulebook
    from diag.session.journal.events import Equipped
    from diag.session.state import SessionState
    from diag.store import SessionRow, Store

WAYS_ON = (
    "At every prompt `help` shows how, `why` says why, `undo` takes back, `unsure` or `cannot` "
    "goes on without, `leave` saves and stops."
)


def run_ask(
    *,
    unit: str | None = None,
    complaint: str | None = None,
    readings: str | None = None,
    profile: str | None = None,
    without: str | None = None,
    as_json: bool = False,
    rules: str | None = None,
    resume: str | None = None,
    list_open: bool = False,
    demo: bool = False,
    without_record: bool = False,
    plain: bool = False,
    job: str | None = None,
) -> int:
    """Run the command; return the exit code."""
    screen, told = Screen(plain=plain), OpeningWords(by_rules_alone=without_record)
    if list_open:
        return _list(screen)
    if demo:
        return _demo(rules, screen)
    if job is not None:
        told.job, unit, complaint = _of_job(job, unit, complaint)
    if readings is not None or as_json:
        told.words = complaint or ""
        given = _beforehand(load_book(rules), (unit, complaint, readings), (profile, without))
        return _from_file(given, told, screen, piped=readings == "-", as_json=as_json)
    source = source_of(screen)

    def at_hand(book: Rulebook) -> Equipped | None:
        from diag.cli.ask.here import at_the_start

        unsaid = resume is not None and not (profile or without)
        return None if unsaid else at_the_start(book, profile, without, screen, source)

    if resume is not None:
        with closing(open_store()) as store:
            return _resume(load_book(rules), store, resume, screen, source, at_hand=at_hand)
    return _begin(rules, (unit, complaint, told), screen, source, at_hand=at_hand)


def _demo(rules: str | None, screen: Screen) -> int:
    from diag.cli.ask.demo import run_demo

    return run_demo(load_book(rules), screen)


def _of_job(
    job: str, unit: str | None, complaint: str | None
) -> tuple[str, str | None, str | None]:
    """Return the id of the job that is named, its unit, and what is complained of, if known."""
    from diag.cli.ask.of_job import named_by_job

    return named_by_job(job, unit, complaint)


def _beforehand(
    book: Rulebook,
    said: tuple[str | None, str | None, str | None],
    at_hand: tuple[str | None, str | None],
) -> Script:
    """Return what options and file say: unit, complaint and readings; profile and missing tools."""
    from diag.cli.ask.here import told_by_options
    from diag.cli.ask.script import script

    return script(book, *said, told_by_options(book, *at_hand))


def _from_file(
    given: Script, told: OpeningWords, screen: Screen, *, piped: bool, as_json: bool
) -> int:
    """Take the answers of a file: print what follows, or begin a session with them."""
    from diag.cli.ask.of_job import begin_session
    from diag.cli.ask.script import print_result, say_back

    state = given.state
    if as_json:
        print_result(given)
        return 0
    source = NoMore() if piped or not at_keyboard() else source_of(screen)
    told.answers = given.events
    with closing(open_store()) as store:
        session, told.job = begin_session(store, state, told, screen)
        screen.say(f"Session {session} of job {told.job}.")
        begun = partial(say_back, given, screen)
        return _converse(store, session, state, screen, source, told=told, begun=begun)


def _list(screen: Screen) -> int:
    from diag.cli.ask.of_job import titled

    with closing(open_store()) as store:
        rows = [(row, titled(store, row)) for row in store.sessions(open_only=True)]
    if not rows:
        screen.say("No session is open.")
    screen.table(
        (
            row.id,
            local(row.last),
            f"{row.events} entries",
            ", ".join(
                dict.fromkeys(filter(None, (title, _of(row, "unit"), _of(row, "complaint"))))
            ),
        )
        for row, title in rows
    )
    return 0


def _of(row: SessionRow, key: str) -> str:
    """Return what a session says of itself; a damaged one may not."""
    return str(row.header.get(key, "not known"))


def _begin(
    rules: str | None,
    said_before: tuple[str | None, str | None, OpeningWords],
    screen: Screen,
    source: Source,
    *,
    at_hand: Callable[[Rulebook], Equipped | None],
) -> int:
    unit, complaint, told = said_before
    name = unit or _pick_unit(rules, screen, source)
    if name is None:
        return 0
    book = load_book(rules)
    found = find_unit(book, name)
    from diag.cli.ask.dangers import Leaves

    try:
        said = said_to_be_wrong(book, complaint, told, screen, source)
        told.at_hand = at_hand(book) if said else None
    except (Leaves, EOFError):
        return 0
    if said is None:
        return 0
    from diag.cli.ask.of_job import begin_session
    from diag.session.state import SessionState

    state = SessionState(book, found, said)
    if told.at_hand is not None:
        from diag.cli.ask.here import need_something_to_ask

        trial = SessionState(book, found, said, state.compiled)
        need_something_to_ask(trial.replay([told.at_hand]))
    with closing(open_store()) as store:
        titles = "; ".join(book.complaints[one].title for one in told.complaints or [said])
        told.words = told.words or titles
        session, told.job = begin_session(store, state, told, screen)
        screen.say(f"Session {session} of job {told.job}: {found.title}; {titles}.")
        screen.say(WAYS_ON)
        return _converse(store, session, state, screen, source, told=told)


def _pick_unit(rules: str | None, screen: Screen, source: Source) -> str | None:
    """Ask for the unit by the titles alone: the rules are read while nobody waits for them."""
    from diag.rulebook import unit_titles

    titles = unit_titles(rule_folders(rules))
    if not titles:
        load_book(rules)  # tells why none could be read
        raise WrongUse("these rules hold no unit to work on; add a file with a line `unit: ...`")
    return pick(screen, source, "Which unit?", titles, lambda text: unit_named(text, titles))


def _resume(
    book: Rulebook,
    store: Store,
    session: str,
    screen: Screen,
    source: Source,
    *,
    at_hand: Callable[[Rulebook], Equipped | None],
) -> int:
    from diag.cli.ask.of_job import job_of, session_to_resume
    from diag.session.journal.events import journal_of
    from diag.session.state import SessionState
    from diag.store import StoreError

    row = session_to_resume(store, session)
    unit, complaint, of = (row.header.get(key) for key in ("unit", "complaint", "rulebook"))
    if not isinstance(unit, str) or not isinstance(complaint, str):
        raise StoreError(
            f"session `{row.id}` no longer says which unit and complaint it is about: begin a new "
            "one; its entries are kept"
        )
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    state.replay(journal_of(store.events(row.id)))
    for left_out in state.left_out:
        screen.say(sentence(left_out))
    job = job_of(store, row)
    screen.say(f"Session {row.id} of job {job}: {unit}, {complaint}.")
    if of != book.hash:
        screen.say("The rules have changed since it began; its answers are judged by the new ones.")
    if state.readings:
        from diag.cli.account.where import show_dangers, show_readings, show_repairs

        show_readings(screen, state)
        show_repairs(screen, state)
        show_dangers(screen, state)  # last, beside what is asked: nobody need remember it
    told = OpeningWords(at_hand=at_hand(book), job=job, by_rules_alone=True)  # as it was begun
    return _converse(store, row.id, state, screen, source, told=told)


def _converse(
    store: Store,
    session: str,
    state: SessionState,
    screen: Screen,
    source: Source,
    *,
    told: OpeningWords,
    begun: Callable[[], None] | None = None,
) -> int:
    from diag.cli.ask.conversation import LEFT, Conversation
    from diag.cli.ask.here import keep, show_here
    from diag.cli.ask.of_job import recorder
    from diag.cli.ask.words.job_words import JobWords
    from diag.session.controller import SessionController
    from diag.store.sessions import utc_now

    gc.freeze()  # what was read stays to the end, and need not be searched for dead circles
    remembers = history if isinstance(source, Keyboard) else nullcontext
    with store.lock(session), remembers(history_file(session)):
        controller = SessionController(state, recorder(store, session), utc_now)
        try:
            words = JobWords(screen, jobs_of(store), told.job)
            conversation = Conversation(controller, screen, source, keep, told=told, words=words)
            begin_with_record(told, controller, store, session, screen)
            if begun is not None:
                begun()
            if state.reach.is_known:
                show_here(screen, state)
            conversation.take_down(told.facts)
            outcome = conversation.run()
        except KeyboardInterrupt:
            outcome = LEFT
        sum_up(store, session, state)
        if outcome == LEFT:
            screen.say(f"Saved. Go on with: diag ask --resume {session}")
            return 0
        store.close_session(session, outcome)
    screen.say(f"To hand it over: diag report {told.job}")
    return 0
