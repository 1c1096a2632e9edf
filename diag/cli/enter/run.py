"""`diag enter`: a sheet filled in by hand becomes a job with its session."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import closing
from functools import partial
from typing import NamedTuple

from diag.authoring.sequence.boxes import LABELS, BenchSheet, bench_sheet
from diag.authoring.sequence.boxes_text import mark_of
from diag.cli.ask.dangers import Leaves
from diag.cli.ask.script import Script, script
from diag.cli.book import find_complaint, find_unit, load_book, named, unit_named
from diag.cli.enter.filling import WAYS, Filling, LeavesSheet, box_questions
from diag.cli.guard import WrongUse
from diag.cli.stored import open_store
from diag.cli.terminal.pick import pick
from diag.cli.terminal.progress import progress
from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source, source_of
from diag.jobs.entries import Labelled, Opened, PartUsed, Remarked, Worked, Written, entry_as_data
from diag.jobs.record import index_of
from diag.model.amounts import amount
from diag.model.quantity import UNITS
from diag.model.rulebook import Rulebook
from diag.session.controller import SessionController
from diag.session.journal.events import Event, Repaired, as_record, from_records
from diag.session.prompt import Closing
from diag.session.state import SessionState
from diag.store import Store
from diag.store.jobs import Jobs
from diag.store.sessions import utc_now


class Asked(NamedTuple):
    """What the options say: unit, complaint, and whose heater it is."""

    unit: str | None
    complaint: str | None
    label: Mapping[str, str]


class _Kept:
    """A job and its session in the store, and what is written to them."""

    def __init__(self, store: Store, session: str, job: str | None) -> None:
        self.store, self.session, self._job = store, session, job
        self._jobs = Jobs(store, index_of)

    def record(self, event: Event) -> None:
        self.store.append(self.session, *as_record(event))

    def write(self, entry: Written) -> None:
        if self._job:
            self._jobs.append(self._job, *entry_as_data(entry))


def run_enter(
    said: Asked, *, readings: str | None = None, resume: str | None = None, plain: bool = False
) -> int:
    """Run the command; return the exit code."""
    screen, book = Screen(plain=plain), load_book()
    if readings is not None:
        told = script(book, said.unit, said.complaint, readings)
        with closing(open_store()) as store:
            return _from_file(told, said, store, screen)
    source = source_of(screen)
    if resume is not None:
        with closing(open_store()) as store:
            state, kept = _taken_up(book, store, resume)
            return _type_in(state, kept, screen, source, label=None)
    titles = {one.id: one.title for one in book.units.values()}
    unit = said.unit or pick(
        screen, source, "Which unit?", titles, lambda text: unit_named(text, titles)
    )
    titles = {one.id: one.title for one in book.complaints.values()}
    by_words = partial(find_complaint, book)
    complaint = (unit and said.complaint) or (
        unit and pick(screen, source, "Which complaint is the sheet of?", titles, by_words)
    )
    if not unit or not complaint:
        return 0
    state = SessionState(book, find_unit(book, unit), by_words(complaint))
    with closing(open_store()) as store:
        kept = _begun(state, said, store, screen)
        return _type_in(state, kept, screen, source, label=said.label)


def _begun(state: SessionState, said: Asked, store: Store, screen: Screen) -> _Kept:
    """Open a job with a session for what is typed in."""
    title = state.rulebook.complaints[state.opened_with].title
    opened = Opened(state.unit.id, said.complaint or title, Labelled(**said.label))
    job = Jobs(store, index_of).open(*entry_as_data(opened))
    header = {
        "unit": state.unit.id, "complaint": state.opened_with, "rulebook": state.rulebook.hash,
    }  # fmt: skip
    session = store.create(header, job)
    screen.say(f"Job {job}, session {session}: {state.unit.title}; {title}.")
    return _Kept(store, session, job)


def _taken_up(book: Rulebook, store: Store, session: str) -> tuple[SessionState, _Kept]:
    """Return a session as far as it was typed in; `WrongUse` where none is open."""
    rows = store.sessions(open_only=True)
    if not session and not rows:
        raise WrongUse("no sheet is open; begin one with `diag enter`")
    row = store.session(session) if session else rows[0]
    unit, complaint = row.header.get("unit", ""), row.header.get("complaint", "")
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    state.replay(from_records((one.number, one.kind, one.payload) for one in store.events(row.id)))
    job = store.rows("select job from sessions where id = ?", (row.id,))[0][0]
    return state, _Kept(store, row.id, job)


def _type_in(
    state: SessionState,
    kept: _Kept,
    screen: Screen,
    source: Source,
    *,
    label: Mapping[str, str] | None,
) -> int:
    """Ask for the sheet; what was filled in before is not asked again."""
    with progress("Laying out the sheet") as step:
        sheet = bench_sheet(state.rulebook, state.unit, state.opened_with, step)
    screen.say(f"The sheet has {mark_of(sheet)}; that stands on it. {WAYS}")
    with kept.store.lock(kept.session):
        filling = Filling(SessionController(state, kept.record, utc_now), screen, source)
        try:
            if label is not None:
                _ask_label(filling, kept, label)
            _ask_boxes(filling, kept, sheet, screen)
        except (LeavesSheet, Leaves, KeyboardInterrupt):
            screen.say(f"Saved. Go on with the sheet: diag enter --resume {kept.session}")
            return 0
        _say_what_follows(filling.controller, kept, screen)
    return 0


def _ask_label(filling: Filling, kept: _Kept, label: Mapping[str, str]) -> None:
    for name, title in LABELS.items():
        if name not in label and (text := filling.ask(title, str)):
            kept.write(Labelled(**{name: text}))


def _ask_boxes(filling: Filling, kept: _Kept, sheet: BenchSheet, screen: Screen) -> None:
    state = filling.controller.state
    if not state.repairs:
        read = state.readings.keys()
        open_boxes = [
            one
            for one in box_questions(sheet, after=False)
            if not all(box.finding.id in read for box in one.boxes)
        ]
        filling.fill(open_boxes)
        if not _ask_repair(filling, kept):
            return
    screen.say("After the repair: the last column of the sheet.", bold=True)
    now = {name for name, one in state.readings.items() if one.stage == state.stage}
    left = [one for one in box_questions(sheet, after=True) if one.boxes[0].finding.id not in now]
    filling.fill(left)


def _ask_repair(filling: Filling, kept: _Kept) -> bool:
    """Ask what was repaired, with what; return whether anything was."""
    book = filling.controller.state.rulebook

    def cause(text: str) -> str:
        titles = {one.title.lower(): one.id for one in book.causes.values()}
        known = titles.get(text.lower().rstrip("."))
        return known or named("fault", text, book.causes)

    def minutes(text: str) -> float:
        return amount(text, UNITS["min"]).value

    repaired = filling.ask("Fault repaired (Enter for none yet)", cause)
    if repaired is None:
        return False
    parts = filling.ask("Parts", str)
    spent = filling.ask("Minutes [min]", minutes)
    remarks = filling.ask("Remarks", str)
    filling.controller.record(Repaired(repaired))
    if parts:
        kept.write(PartUsed(parts, cause=repaired))
    if spent is not None:
        kept.write(Worked(spent, book.causes[repaired].title))
    if remarks:
        kept.write(Remarked(remarks))
    return True


def _from_file(told: Script, said: Asked, store: Store, screen: Screen) -> int:
    """Keep the readings of a file as a job, and say what follows."""
    from diag.cli.ask.script import say_back

    kept = _begun(told.state, said, store, screen)
    controller = SessionController(told.state, kept.record, utc_now)
    with store.lock(kept.session):
        for event in told.events:
            controller.record(event)
        say_back(told, screen)
        _say_what_follows(controller, kept, screen)
    return 0


def _say_what_follows(controller: SessionController, kept: _Kept, screen: Screen) -> None:
    """Say what the sheet comes to and what is next; an end closes the session."""
    from diag.cli.account.where import show_inconsistency, show_suspects
    from diag.session.inconsistent import inconsistency_in

    state, prompt = controller.state, controller.prompt
    found = inconsistency_in(state)
    if found:
        show_inconsistency(screen, found)
    ended = isinstance(prompt, Closing) and not prompt.ending.is_open
    if not ended:
        show_suspects(screen, state)
        screen.heading("What is next")
    show_prompt(screen, state, prompt)
    if isinstance(prompt, Closing) and ended:
        kept.store.close_session(kept.session, prompt.ending.kind)
    else:
        screen.say(f"Saved. Go on with: diag ask --resume {kept.session}")
