"""`diag ask`: choose unit and complaint, then work through the session, or answer a script."""

from __future__ import annotations

import gc
from contextlib import closing
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from diag.cli.book import find_complaint, find_unit, load_book, rule_folders, unit_named
from diag.cli.guard import WrongUse
from diag.cli.places import data_folder, sessions_file
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source, source_of

if TYPE_CHECKING:  # imported where they are used, so that the first question comes at once
    from diag.model.rulebook import Rulebook
    from diag.session.hearing import HeardDanger, HeardFact
    from diag.session.journal.events import Event
    from diag.session.state import SessionState
    from diag.store import Store


@dataclass(slots=True)
class OpeningWords:
    """What was told beside the complaint, before the session began."""

    facts: list[HeardFact] = field(default_factory=list)
    """Complaints and findings, read back and confirmed."""
    dangers: list[HeardDanger] = field(default_factory=list)
    """Read back and confirmed."""

    @property
    def complaints(self) -> list[str]:
        """Return what is complained of, in the order in which it was told."""
        return [one.complaint for one in self.facts if one.complaint]


def run_ask(
    *,
    unit: str | None = None,
    complaint: str | None = None,
    readings: str | None = None,
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
        from diag.cli.ask.script import run_script

        return run_script(load_book(rules), unit, complaint, readings, screen, as_json=as_json)
    source = source_of(screen)
    if resume is not None:
        with closing(_store()) as store:
            return _resume(load_book(rules), store, resume, screen, source)
    return _begin(rules, unit, complaint, screen, source)


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
        (
            row.id,
            str(row.header.get("unit", "not known")),
            str(row.header.get("complaint", "not known")),
            f"{row.events} entries",
            row.last,
        )
        for row in rows
    )
    return 0


def _begin(
    rules: str | None,
    unit: str | None,
    complaint: str | None,
    screen: Screen,
    source: Source,
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
    except Leaves:
        return 0
    if said is None:
        return 0
    from diag.session.state import SessionState

    state = SessionState(book, found, said)
    header = {"unit": found.id, "complaint": state.complaint, "rulebook": book.hash}
    with closing(_store()) as store:
        session = store.create(header)
        titles = "; ".join(book.complaints[one].title for one in told.complaints or [said])
        screen.say(f"Session {session}: {found.title}; {titles}.")
        screen.say("At every prompt `help` shows how, `why` says why, `leave` saves and stops.")
        return _converse(store, session, state, screen, source, told=told)


def _said(
    book: Rulebook, complaint: str | None, told: OpeningWords, screen: Screen, source: Source
) -> str | None:
    """Return the complaint, given or picked; what else is told is kept, danger before all."""

    def named(text: str) -> str:
        try:
            return find_complaint(book, text)
        except WrongUse:
            known = len(told.facts) + len(told.dangers)
            heard = _hear(book, text, told, screen, source)
            if not told.complaints and len(told.facts) + len(told.dangers) > known:
                raise WrongUse("that is kept; say now what is complained of") from None
            if not told.complaints and heard:
                raise WrongUse("no complaint is taken down; tell it in other words") from None
            if not told.complaints:
                raise
            return told.complaints[0]

    if complaint:
        try:
            return named(complaint)
        except WrongUse as error:
            if not (told.facts or told.dangers):
                raise
            screen.say(sentence(str(error)))
    titles = {name: complaint.title for name, complaint in book.complaints.items()}
    return pick(screen, source, "What does the owner say is wrong?", titles, named)


def _hear(book: Rulebook, text: str, told: OpeningWords, screen: Screen, source: Source) -> bool:
    """Keep what a text tells of, read back; say at once what to do now about a danger.

    Return whether it told of anything.
    """
    from diag.cli.ask.dangers import confirmed, show_what_to_do
    from diag.cli.ask.heard import confirmed_facts
    from diag.session.hearing import hear

    heard = hear(text, book)
    sure = confirmed(text, book, screen, source)
    told.dangers += sure
    for one in sure:
        show_what_to_do(screen, one.danger)
    told.facts += confirmed_facts(text, heard, book, screen, source)
    return bool(heard.dangers or heard.facts or heard.choices)


def _pick_unit(rules: str | None, screen: Screen, source: Source) -> str | None:
    """Ask for the unit by the titles alone: the rules are read while nobody waits for them."""
    from diag.rulebook import unit_titles

    titles = unit_titles(rule_folders(rules))
    if not titles:
        load_book(rules)  # tells why none could be read
        raise WrongUse("these rules hold no unit to work on; add a file with a line `unit: ...`")
    return pick(screen, source, "Which unit?", titles, lambda text: unit_named(text, titles))


def _resume(book: Rulebook, store: Store, session: str, screen: Screen, source: Source) -> int:
    from diag.session.journal.events import from_records
    from diag.session.state import SessionState
    from diag.store import StoreError

    rows = store.sessions(open_only=True)
    if not session and not rows:
        raise WrongUse("no session is open; begin one with `diag ask`")
    row = store.session(session) if session else rows[0]
    unit, complaint, of = (row.header.get(key) for key in ("unit", "complaint", "rulebook"))
    if not isinstance(unit, str) or not isinstance(complaint, str):
        raise StoreError(
            f"session `{row.id}` no longer says which unit and complaint it is about: begin a new "
            "one; its entries are kept"
        )
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    state.replay(from_records((one.number, one.kind, one.payload) for one in store.events(row.id)))
    for left_out in state.left_out:
        screen.say(sentence(left_out))
    screen.say(f"Session {row.id}: {unit}, {complaint}.")
    if of != book.hash:
        screen.say("The rules have changed since it began; its answers are judged by the new ones.")
    if state.readings:
        from diag.cli.ask.views import show_readings

        show_readings(screen, state)
    return _converse(store, row.id, state, screen, source)


def _converse(
    store: Store,
    session: str,
    state: SessionState,
    screen: Screen,
    source: Source,
    *,
    told: OpeningWords | None = None,
) -> int:
    from diag.cli.ask.conversation import LEFT, Conversation
    from diag.session.controller import SessionController
    from diag.session.journal.events import as_record
    from diag.store.sessions import utc_now

    def record(event: Event) -> None:
        store.append(session, *as_record(event))

    # What was read stays to the end: it need not be searched for dead circles between questions.
    gc.freeze()
    with store.lock(session):
        controller = SessionController(state, record, utc_now)
        try:
            conversation = Conversation(controller, screen, source)
            for one in told.dangers if told else ():
                controller.volunteer(one.finding, one.state)
            conversation.record_facts(told.facts if told else ())
            outcome = conversation.run()
        except KeyboardInterrupt:
            outcome = LEFT
        if outcome == LEFT:
            screen.say(f"Saved. Go on with: diag ask --resume {session}")
        else:
            store.close_session(session, outcome)
    return 0
