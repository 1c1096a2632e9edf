"""`diag ask`: choose unit and complaint, then work through the session, or answer a script."""

from __future__ import annotations

import gc
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from diag.cli.book import find_complaint, find_unit, load_book, rule_folders, unit_named
from diag.cli.guard import WrongUse
from diag.cli.places import data_folder, sessions_file
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source, source_of

if TYPE_CHECKING:  # imported where they are used, so that the first question comes at once
    from diag.model.rulebook import Rulebook
    from diag.session.controller import SessionController
    from diag.session.hearing import HeardDanger
    from diag.session.journal.events import Equipped, Event
    from diag.session.state import SessionState
    from diag.store import Store


@dataclass(slots=True)
class OpeningWords:
    """What was told beside the complaint, before the session began."""

    lines: list[str] = field(default_factory=list)
    dangers: list[HeardDanger] = field(default_factory=list)
    """Read back and confirmed."""
    at_hand: Equipped | None = None
    """Who works where and with what, where that is known."""

    def begin(self, controller: SessionController) -> None:
        """Record what is sure already."""
        if self.at_hand is not None:
            controller.record(self.at_hand)
        for one in self.dangers:
            controller.volunteer(one.finding, one.state)


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
    plain: bool = False,
) -> int:
    """Run the command; return the exit code."""
    screen = Screen(plain=plain)
    if list_open:
        return _list(screen)
    if demo:
        from diag.cli.ask.demo import run_demo

        return run_demo(load_book(rules), screen)
    if readings is not None or as_json:
        from diag.cli.ask.script import script

        return script(load_book(rules), unit, complaint, readings, screen, as_json=as_json)
    source = source_of(screen)

    def at_hand(book: Rulebook) -> Equipped | None:
        from diag.cli.ask.here import at_the_start

        if resume is not None and not (profile or without):
            return None
        return at_the_start(book, profile, without, screen, source)

    if resume is not None:
        with closing(_store()) as store:
            return _resume(load_book(rules), store, resume, screen, source, at_hand=at_hand)
    return _begin(rules, unit, complaint, screen, source, at_hand=at_hand)


def _store() -> Store:
    from diag.store import Store, StoreError

    folder = data_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"the data folder `{folder}` cannot be made ({error.strerror}); set DIAG_HOME to a "
            "folder that can be written to"
        ) from None
    return Store(sessions_file())


def _list(screen: Screen) -> int:
    with closing(_store()) as store:
        rows = store.sessions(open_only=True)
    if not rows:
        screen.say("No session is open.")
    screen.table(
        (row.id, row.header["unit"], row.header["complaint"], f"{row.events} entries", row.last)
        for row in rows
    )
    return 0


def _begin(
    rules: str | None,
    unit: str | None,
    complaint: str | None,
    screen: Screen,
    source: Source,
    *,
    at_hand: Callable[[Rulebook], Equipped | None],
) -> int:
    name = unit or _pick_unit(rules, screen, source)
    if name is None:
        return 0
    book = load_book(rules)
    found = find_unit(book, name)
    told = OpeningWords()
    from diag.cli.ask.dangers import Leaves

    try:
        said = _said(book, complaint, told, screen, source)
        told.at_hand = at_hand(book) if said else None
    except (Leaves, EOFError):
        return 0
    if said is None:
        return 0
    from diag.session.state import SessionState

    state = SessionState(book, found, said)
    if told.at_hand is not None:
        from diag.cli.ask.here import need_something_to_ask

        trial = SessionState(book, found, said, state.compiled)
        need_something_to_ask(trial.replay([told.at_hand]))
    header = {"unit": found.id, "complaint": state.complaint, "rulebook": book.hash}
    with closing(_store()) as store:
        session = store.create(header)
        screen.say(f"Session {session}: {found.title}; {book.complaints[said].title}.")
        screen.say("At every prompt `help` shows how, `why` says why, `leave` saves and stops.")
        return _converse(store, session, state, screen, source, told=told)


def _said(
    book: Rulebook, complaint: str | None, told: OpeningWords, screen: Screen, source: Source
) -> str | None:
    """Return the complaint, given or picked; what is told of danger comes before it."""
    if complaint:
        _hear_dangers(book, complaint, told, screen, source)
        return find_complaint(book, complaint)

    def named(text: str) -> str:
        _hear_dangers(book, text, told, screen, source)
        return _complaint(book, text, told.lines)

    titles = {name: complaint.title for name, complaint in book.complaints.items()}
    return pick(screen, source, "What does the owner say is wrong?", titles, named)


def _hear_dangers(
    book: Rulebook, text: str, told: OpeningWords, screen: Screen, source: Source
) -> None:
    """Keep the dangers that a text tells of, read back, and say at once what to do now."""
    wanted = " ".join(text.lower().split())
    if any(wanted in (name, one.title.lower()) for name, one in book.complaints.items()):
        return
    from diag.cli.ask.dangers import confirmed, show_what_to_do

    sure = confirmed(text, book, screen, source)
    told.dangers += sure
    for one in sure:
        show_what_to_do(screen, one.danger)


def _pick_unit(rules: str | None, screen: Screen, source: Source) -> str | None:
    """Ask for the unit by the titles alone: the rules are read while nobody waits for them."""
    from diag.rulebook import unit_titles

    titles = unit_titles(rule_folders(rules))
    if not titles:
        load_book(rules)  # tells why none could be read
        raise WrongUse("these rules hold no unit to work on; add a file with a line `unit: ...`")
    return pick(screen, source, "Which unit?", titles, lambda text: unit_named(text, titles))


def _complaint(book: Rulebook, text: str, told: list[str]) -> str:
    """Return the complaint that the text names; what else it tells is kept in `told`."""
    from diag.session.free_text import complaint_in

    try:
        return find_complaint(book, text)
    except WrongUse:
        matched = complaint_in(text, book)
        if not matched:
            raise
        told.append(text)
        return matched


def _resume(
    book: Rulebook,
    store: Store,
    session: str,
    screen: Screen,
    source: Source,
    *,
    at_hand: Callable[[Rulebook], Equipped | None],
) -> int:
    from diag.session.journal.events import from_record
    from diag.session.state import SessionState

    rows = store.sessions(open_only=True)
    if not session and not rows:
        raise WrongUse("no session is open; begin one with `diag ask`")
    row = store.session(session) if session else rows[0]
    state = SessionState(book, find_unit(book, row.header["unit"]), row.header["complaint"])
    state.replay(from_record(one.kind, one.payload) for one in store.events(row.id))
    for sentence in state.left_out:
        screen.say(f"{sentence[:1].upper()}{sentence[1:]}.")
    screen.say(f"Session {row.id}: {row.header['unit']}, {row.header['complaint']}.")
    if row.header["rulebook"] != book.hash:
        screen.say("The rules have changed since it began; its answers are judged by the new ones.")
    if state.readings:
        from diag.cli.ask.views import show_readings

        show_readings(screen, state)
    told = OpeningWords(at_hand=at_hand(book))
    return _converse(store, row.id, state, screen, source, told=told)


def _converse(
    store: Store,
    session: str,
    state: SessionState,
    screen: Screen,
    source: Source,
    *,
    told: OpeningWords,
) -> int:
    from diag.cli.ask.conversation import LEFT, Conversation
    from diag.cli.ask.here import keep, show_here
    from diag.session.controller import SessionController
    from diag.session.free_text import listen
    from diag.session.journal.events import as_record
    from diag.store.sessions import utc_now

    def record(event: Event) -> None:
        store.append(session, *as_record(event))

    # What was read stays to the end: it need not be searched for dead circles between questions.
    gc.freeze()
    with store.lock(session):
        controller = SessionController(state, record, utc_now)
        try:
            conversation = Conversation(controller, screen, source, keep)
            told.begin(controller)
            if state.reach.is_known:
                show_here(screen, state)
            for text in told.lines:
                if listen(text, state.rulebook):
                    conversation.hear(text)
            outcome = conversation.run()
        except KeyboardInterrupt:
            outcome = LEFT
        if outcome == LEFT:
            screen.say(f"Saved. Go on with: diag ask --resume {session}")
        else:
            store.close_session(session, outcome)
    return 0
