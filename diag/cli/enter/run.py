"""`diag enter`: a sheet filled in by hand becomes a job with its session."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from contextlib import closing
from functools import partial
from typing import NamedTuple

from diag.authoring.sequence.boxes import LABEL_FIELDS, BenchSheet, bench_sheet
from diag.authoring.sequence.boxes_text import mark_of
from diag.cli.ask.dangers import Leaves
from diag.cli.ask.of_job import header_of, job_of, recorder, session_to_resume
from diag.cli.ask.past import sum_up
from diag.cli.ask.script import Script, say_back, script
from diag.cli.book import find_complaint, find_unit, load_book, named, unit_named
from diag.cli.enter.filling import Filling, LeavesSheet, box_questions
from diag.cli.enter.words import WAYS
from diag.cli.jobs.opening import label_of, say_differences, tagged
from diag.cli.jobs.typed import LONGEST_TEXT, part_of, worked_in
from diag.cli.jobs.typed import words as typed_words
from diag.cli.stored import jobs_of, open_store
from diag.cli.terminal.pick import pick
from diag.cli.terminal.progress import progress
from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source, source_of
from diag.jobs.entries import Labelled, Opened, Remarked, Written, entry_as_data
from diag.model.rulebook import Rulebook
from diag.session.controller import SessionController
from diag.session.journal.events import Repaired, journal_of
from diag.session.prompt import Closing
from diag.session.state import SessionState
from diag.store import Store
from diag.store.sessions import utc_now


class Asked(NamedTuple):
    """What the options say: unit, complaint, and whose heater it is."""

    unit: str | None
    complaint: str | None
    label: Mapping[str, str]


class _Kept:
    """A job and its session in the store, and what is written to them."""

    def __init__(self, store: Store, session: str, job: str) -> None:
        self.store, self.session, self.job = store, session, job
        self.record = recorder(store, session)

    def write(self, entry: Written) -> None:
        jobs_of(self.store).append(self.job, *entry_as_data(entry))


def run_enter(
    said: Asked, *, readings: str | None = None, resume: str | None = None, plain: bool = False
) -> int:
    """Run the command; return the exit code."""
    screen, book, label = Screen(plain=plain), load_book(), label_of(said.label)
    if readings is not None:
        told = script(book, said.unit, said.complaint, readings)
        with closing(open_store()) as store:
            return _from_file(told, _begun(told.state, said, label, store, screen), screen)
    source = source_of(screen)
    if resume is not None:
        with closing(open_store()) as store:
            return _type_in(*_taken_up(book, store, resume), screen, source)
    unit = said.unit or pick(
        screen, source, "Which unit?", {one.id: one.title for one in book.units.values()},
        lambda text: unit_named(text, book.units),
    )  # fmt: skip
    complaint = said.complaint if unit else None
    if unit and not complaint:
        titles = {one.id: one.title for one in book.complaints.values()}
        by_words = partial(find_complaint, book)
        complaint = pick(screen, source, "Which complaint is the sheet of?", titles, by_words)
    if not unit or not complaint:
        return 0
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    with closing(open_store()) as store:
        kept = _begun(state, said, label, store, screen)
        return _type_in(state, kept, screen, source, labels=LABEL_FIELDS.keys() - said.label.keys())


def _begun(
    state: SessionState, said: Asked, label: Labelled, store: Store, screen: Screen
) -> _Kept:
    """Open a job with a session for what is typed in."""
    title = state.rulebook.complaints[state.opened_with].title
    words = typed_words(said.complaint or title, "complaint", LONGEST_TEXT)
    unit, jobs = state.unit.id, jobs_of(store)
    job = jobs.open(*entry_as_data(Opened(unit, words, tagged(unit, label))))
    session = store.create(header_of(state), job)
    screen.say(f"Session {session} of job {job}: {state.unit.title}; {title}.")
    say_differences(screen, jobs, job)
    return _Kept(store, session, job)


def _taken_up(book: Rulebook, store: Store, session: str) -> tuple[SessionState, _Kept]:
    """Return a session as far as it was typed in; `WrongUse` where none is open."""
    row = session_to_resume(store, session)
    unit, complaint = row.header.get("unit", ""), row.header.get("complaint", "")
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    state.replay(journal_of(store.events(row.id)))
    return state, _Kept(store, row.id, job_of(store, row))


def _type_in(
    state: SessionState,
    kept: _Kept,
    screen: Screen,
    source: Source,
    *,
    labels: Collection[str] = (),
) -> int:
    """Ask for the sheet; what was filled in before is not asked again."""
    with progress("Laying out the sheet") as step:
        sheet = bench_sheet(state.rulebook, state.unit, state.opened_with, step)
    screen.say(f"The sheet should say: {mark_of(sheet)}. {WAYS}")
    with kept.store.lock(kept.session):
        filling = Filling(SessionController(state, kept.record, utc_now), screen, source)
        try:
            _ask_label(filling, kept, labels, screen)
            _ask_boxes(filling, kept, sheet, screen)
        except (LeavesSheet, Leaves, KeyboardInterrupt):
            screen.say(f"Saved. Go on with the sheet: diag enter --resume {kept.session}")
            return 0
        _say_what_follows(filling.controller, kept, screen)
    return 0


def _ask_label(filling: Filling, kept: _Kept, wanted: Collection[str], screen: Screen) -> None:
    for name, title in LABEL_FIELDS.items():
        read = partial(typed_words, what=title.lower())
        if name in wanted and (text := filling.ask(title, read)):
            kept.write(Labelled(**{name: text}))
    if wanted:
        say_differences(screen, jobs_of(kept.store), kept.job)


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

    repaired = filling.ask("Fault repaired (Enter for none yet)", cause)
    if repaired is None:
        return False
    filling.controller.record(Repaired(repaired))
    if part := filling.ask("Part, its price behind it", partial(part_of, cause=repaired)):
        kept.write(part)
    if work := filling.ask("Minutes, and what was done behind them", worked_in):
        kept.write(work)
    if remarks := filling.ask("Remarks", partial(typed_words, what="remark")):
        kept.write(Remarked(remarks))
    return True


def _from_file(told: Script, kept: _Kept, screen: Screen) -> int:
    """Keep the readings of a file as a job, and say what follows."""
    controller = SessionController(told.state, kept.record, utc_now)
    with kept.store.lock(kept.session):
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
    sum_up(kept.store, kept.session, state)
    if isinstance(prompt, Closing) and ended:
        kept.store.close_session(kept.session, prompt.ending.kind)
    else:
        screen.say(f"Saved. Go on with: diag ask --resume {kept.session}")
