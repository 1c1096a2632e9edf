"""`diag enter`: a sheet typed in asks what the sheet prints, loses nothing, and tells the same."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from dataclasses import fields
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.authoring.sequence.boxes import LABEL_FIELDS, BenchSheet, bench_sheet
from diag.authoring.sequence.boxes_text import as_boxes
from diag.cli.enter.filling import Filling, box_questions
from diag.cli.places import shipped_rules
from diag.cli.stored import open_store
from diag.cli.terminal.screen import Screen
from diag.jobs.entries import Labelled, PartUsed, Worked
from diag.jobs.record import index_of, record_of
from diag.model.case import Case
from diag.model.rulebook import Value
from diag.rulebook import load_cases
from diag.session.controller import SessionController
from diag.session.journal.events import Answered, Event, flat
from diag.session.prompt import AskFinding, AskTogether, StopWork
from diag.session.result import shown
from diag.session.state import SessionState
from diag.store.jobs import Jobs
from tests.cli.terminals import terminal
from tests.cli.test_ask import diag
from tests.dangers import shipped

SHEET = ("enter", "--unit", "small 12 V", "--complaint", "radio noise")
LABELLED = (*SHEET, "--customer", "County library", "--vehicle", "Van 3", "--tag", "LIB-03",
            "--serial", "0417")  # fmt: skip


class Writer:
    """Somebody who types a filled sheet: what each box holds, and `done` at a stop."""

    def __init__(self, state: SessionState, lines: Iterator[str]) -> None:
        self._state, self._lines, self._last = state, lines, ""
        self._journal = 0

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        """Return the next line; the same once more where it was doubted."""
        if self._state.dangers.unheeded:
            return "done"
        if self._last and len(self._state.journal) == self._journal:
            return self._last
        self._last, self._journal = next(self._lines, "leave"), len(self._state.journal)
        return self._last


def _type(state: SessionState, sheet: BenchSheet, shows: Mapping[str, Value]) -> list[Event]:
    """Type a sheet with these readings in and return what was recorded."""
    told = list[Event]()
    controller = SessionController(state, told.append, lambda: "")
    Filling(controller, Screen(), Writer(state, _lines(sheet, shows))).fill(
        box_questions(sheet, after=False)
    )
    return told


def _lines(sheet: BenchSheet, shows: Mapping[str, Value]) -> Iterator[str]:
    for one in box_questions(sheet, after=False):
        names = [box.finding.id for box in one.boxes]
        if len(names) > 1:
            true = [str(at) for at, name in enumerate(names, 1) if shows.get(name) == "yes"]
            yield ", ".join(true) or "none"
        else:
            yield shown(shows[names[0]]) if names[0] in shows else ""


@cache
def _sheet_of(unit: str, complaint: str) -> BenchSheet:
    return bench_sheet(shipped.book(), shipped.book().units[unit], complaint)


def _on(unit: str, complaint: str) -> tuple[SessionState, BenchSheet]:
    book = shipped.book()
    state = SessionState(book, book.units[unit], complaint, shipped.compiled(unit))
    return state, _sheet_of(unit, complaint)


@settings(deadline=None, max_examples=6)
@given(
    st.sampled_from(sorted(shipped.book().complaints)),
    st.sampled_from(["small 12 V", "LIB-03", "medium 24 V"]),
)
def test_what_a_sheet_prints_is_asked_in_the_same_order(complaint: str, unit: str) -> None:
    """Every question that the sheet prints is put once, in its order, under its number."""
    state, sheet = _on(unit, complaint)
    printed = [line.split(". ", 1) for line in as_boxes(state.rulebook, sheet)
               if re.match(r" *\d+\. ", line)]  # fmt: skip
    with terminal(200, term="dumb") as out:
        controller = SessionController(state, lambda _: None, lambda: "")
        filling = Filling(controller, Screen(plain=True), Writer(state, iter([""] * 99)))
        filling.fill(box_questions(sheet, after=False))
    said = out.getvalue()
    asked = re.findall(r"^(\d+)\. (.*?\?)|^  (\d+) +(.*?\?)", said, re.M)
    before = printed[: len(printed) - len(sheet.proof.boxes)]
    assert len(before) == len(asked)
    for (number, text), (at, question, place, item) in zip(before, asked, strict=True):
        assert int(number) == int(at or place)
        assert text.startswith(question or item)


def _cases() -> list[Case]:
    files = sorted((shipped_rules() / "cases").glob("*.yaml"))
    found = [one for path in files[:12] for one in load_cases(path, shipped.book())]
    return random.Random(7).sample(found, 8)


@pytest.mark.parametrize("case", _cases(), ids=lambda case: case.id)
def test_a_typed_sheet_leaves_the_same_suspects_as_a_session(case: Case) -> None:
    """A worked case's readings typed from a sheet weigh as the same ones given to a session as it
    asks for them, the rest told: the shares of all causes are equal, and so are the dangers."""
    state, sheet = _on(case.unit, case.complaint)
    with terminal(80, term="dumb"):
        told = _type(state, sheet, case.readings)
    answers = [one for act in told for one in flat(act) if isinstance(one, Answered)]
    assert {box.finding.id for one in sheet.steps for box in one.boxes} & set(case.readings) <= {
        one.finding for one in answers
    }
    session = _in_a_session(case, {one.finding: one.value for one in answers})
    assert pytest.approx(dict(session.posterior.causes), abs=1e-12) == dict(state.posterior.causes)
    assert set(session.dangers.held) == set(state.dangers.held)


def _in_a_session(case: Case, shows: Mapping[str, Value]) -> SessionState:
    """Answer a session with these readings as it asks for them, and tell it the rest."""
    state = shipped.begin(case.unit, case.complaint)
    for prompt in shipped.answering(state, shows):
        asks = isinstance(prompt, AskFinding) and not (prompt.again or prompt.fails)
        if not (asks or isinstance(prompt, AskTogether | StopWork)):
            break
    for name in sorted(shows.keys() - state.readings.keys()):
        state.apply(Answered(name, shows[name], state.rulebook.findings[name].how))
    return state


def test_answers_are_kept_with_their_check_and_how_they_were_taken() -> None:
    """A box becomes an answer of its check, taken as the finding is known unless it says so."""
    state, sheet = _on("small 12 V", "radio noise")
    boxes = [one for step in sheet.steps for one in step.boxes if one.finding.how == "seen"]
    told = list[Event]()
    controller = SessionController(state, told.append, lambda: "")
    first = boxes[-1].finding
    step = next(one for one in sheet.steps for box in one.boxes if box.finding is first)
    lines = iter([f"{first.states[0]} told"])
    wanted = [one for one in box_questions(sheet, after=False) if one.boxes[0].finding is first]
    with terminal(80, term="dumb"):
        Filling(controller, Screen(), Writer(state, lines)).fill(wanted)
    assert step.check
    assert [(first.id, first.states[0], "told", step.check.id)] == [
        (one.finding, one.value, one.how, one.check)
        for act in told
        for one in flat(act)
        if isinstance(one, Answered)
    ]


def test_labels_are_those_of_a_job() -> None:
    """What a sheet has room for above its boxes is what a job knows whose heater by."""
    assert {*LABEL_FIELDS, "about"} == {one.name for one in fields(Labelled)}


def _session(said: str) -> str:
    return re.findall(r"Session ([a-z0-9]{7})", said)[0]


def test_a_sheet_becomes_a_job_and_a_session_goes_on_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Label, readings, repair, parts and minutes are kept; `ask --resume` knows the readings."""
    lines = "County library\nVan 3\nLIB-03\n0417\nnone\nwiring\nend\n" + (
        "interference on the radio\nferrite 4.20\n25 moved the cable\nby the road\nyes\nend\n"
    )
    said = diag(tmp_path, *SHEET, lines=lines).stdout
    session = _session(said)
    assert "After the repair: the last column of the sheet." in said
    assert f"Go on with: diag ask --resume {session}" in " ".join(said.split())
    again = diag(tmp_path, "ask", "--resume", session, lines="where\n").stdout
    assert "work done lately" in again
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))
    with closing(open_store()) as store:
        jobs = Jobs(store, index_of)
        job = jobs.jobs()[0].id
        record = record_of(jobs.entries(job))
        assert [session] == [one.id for one in jobs.sessions(job)]
    assert Labelled("County library", "Van 3", "LIB-03", "0417") == record.label
    assert [PartUsed("ferrite", "4.20", "interference on the radio")] == [
        one.entry for one in record.parts
    ]
    assert [25.0] == [one.entry.minutes for one in record.work if isinstance(one.entry, Worked)]


def test_readings_of_a_file_become_a_job(tmp_path: Path) -> None:
    """`--readings` takes a file as `diag ask` does, says what is next, and can be gone on with."""
    file = tmp_path / "bench.yaml"
    file.write_text("panel: lit\nwork done lately: wiring\n", encoding="utf-8")
    said = diag(tmp_path, *LABELLED, "--readings", str(file)).stdout
    assert "What is next" in said
    again = diag(tmp_path, "ask", "--resume", _session(said), lines="where\n").stdout
    assert "wiring" in again


def test_a_danger_stops_at_once(tmp_path: Path) -> None:
    """A box that tells of a danger, or words that do, bring the STOP before the next box."""
    said = diag(tmp_path, *LABELLED, lines="3\ndone\nleave\n").stdout
    stop, going_on = said.index("STOP: Fuel leak"), said.index("\n12. ")
    assert said.index("> 3") < stop < said.index("> done") < going_on
    told = diag(tmp_path, *LABELLED, lines="none\nthe CO alarm is sounding\nyes\nleave\n").stdout
    assert told.index("> yes") < told.index("STOP: Carbon monoxide")
    assert 1 == told.count("STOP: Carbon monoxide")


def test_undo_goes_back_to_the_box_before(tmp_path: Path) -> None:
    """The box answered last is asked again, its answer gone; before the first there is none."""
    said = diag(tmp_path, *LABELLED, lines="undo\nnone\nwiring\nundo\nleave\n").stdout
    assert "There is no box to go back to" in said
    question = shipped.book().findings["work done lately"].ask
    assert 2 == " ".join(said.split()).count(question)
    again = diag(tmp_path, "ask", "--resume", _session(said), lines="where\n").stdout
    assert "work done lately" not in again


class Stopping:
    """Somebody who types so many lines and then presses Ctrl-C, counting what is on the disk."""

    def __init__(self, typed: list[str], kept: Callable[[], int]) -> None:
        self._typed, self._kept, self.counts = iter(typed), kept, list[int]()

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        self.counts.append(self._kept())
        line = next(self._typed, None)
        if line is None:
            raise KeyboardInterrupt
        return line


@pytest.mark.parametrize("count", [0, 1, 2, 3, 5])
def test_nothing_is_lost_at_ctrl_c(
    count: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each answer is on the disk before the next box is asked, and a sheet goes on where it was."""
    from diag.cli.enter import run

    typed = ["none", "wiring", "well apart", "lit", "heating", "0"][:count]
    monkeypatch.setenv("DIAG_HOME", str(tmp_path))

    def kept() -> int:
        with closing(open_store()) as store:
            return len(store.events(store.sessions(open_only=True)[0].id))

    label = dict.fromkeys(LABEL_FIELDS, "x")
    hand = Stopping(typed, kept)
    monkeypatch.setattr(run, "source_of", lambda screen: hand)
    said = run.Asked("small 12 V", "radio noise", label)
    with terminal(80, term="dumb") as out:
        assert 0 == run.run_enter(said)
        assert "Saved. Go on with the sheet: diag enter --resume" in " ".join(
            out.getvalue().split()
        )
    assert [*range(count + 1)] == hand.counts
    hand = Stopping([], kept)
    with terminal(80, term="dumb") as out:
        assert 0 == run.run_enter(run.Asked(None, None, {}), resume="")
    assert [count] == hand.counts
    _, sheet = _on("small 12 V", "radio noise")
    wanted = box_questions(sheet, after=False)[count].boxes[0].finding.ask
    assert wanted in " ".join(out.getvalue().split())


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--unit", "small 13 V", "--complaint", "noise"), "there is no unit `small 13 V`"),
        (("--unit", "small 12 V", "--complaint", "noize"), "there is no complaint `noize`"),
        (("--resume",), "no session is open; begin one with `diag ask`"),
        (("k3m7xqa",), "to go on with a sheet, write `diag enter --resume k3m7xqa`"),
        (("--readings", "x.yaml"), "name the unit and the complaint"),
    ],
)
def test_wrong_use_is_one_sentence(words: tuple[str, ...], message: str, tmp_path: Path) -> None:
    """What is not known is named, with exit code 2, and nothing is kept."""
    said = diag(tmp_path, "enter", *words, code=2)
    assert said.stderr.startswith(message)
    assert 1 == said.stderr.count("\n")


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("where", "Readings"),
        ("suspects", "all other causes"),
        ("why", "It may speak for or against: "),
        ("why ripple on the supply", "very strongly against: how common it is"),
        ("why-not ripple on the supply", "Charger or alternator disturbs the supply: "),
        ("again", ""),
        ("-h", "Ask what was repaired, replaced or moved last"),
        ("change work done lately = wiring", "`work done lately`: wiring."),
        ("note the owner was in a hurry", "Noted."),
    ],
)
def test_a_word_of_the_session_works_at_a_box(word: str, told: str, tmp_path: Path) -> None:
    """What lets somebody look, correct or note does so, and the box is put once more."""
    said = diag(tmp_path, *LABELLED, lines=f"none\n{word}\nleave\n").stdout
    question = "What was worked on last"
    before, asked, after = said.partition(f"> {word}\n")
    assert asked
    assert told in after
    assert (before.count(question), after.count(question)) == (1, 1)
    assert "works in the session" not in after


def test_readings_that_cannot_be_are_told_at_the_box(tmp_path: Path) -> None:
    """A battery that gains volts under load is named as it is typed, once, with the way back, and
    not again once it is corrected."""
    words = (*LABELLED[:4], "shows a fault", *LABELLED[5:])
    boxes = "none\n" + 6 * "\n" + "12.5\n13.8\n9\n"
    change = "change volts at the terminals while igniting = 11.8\n"
    said = diag(tmp_path, *words, lines=f"{boxes}\n{change}end\n\nleave\n").stdout
    told = " ".join(said.partition("> 9\n")[2].split())
    assert told.startswith("These cannot all be true: the battery terminals cannot read more under")
    assert "`undo` takes the last box back" in told
    assert 1 == said.count("These cannot all be true: ")


def test_what_passes_over_leaves_the_box_open(tmp_path: Path) -> None:
    """`skip` leaves one box open, `skip check` all of its check; nothing of it is a reading."""
    said = diag(tmp_path, *LABELLED, lines="none\nskip\nskip check\nwhere\nleave\n").stdout
    skipped = said.partition("> skip check\n")
    assert "\nFollow the cables past the aerial\n" in skipped[0]
    assert skipped[2].startswith("\nWatch one start\n")
    readings = said.partition("> where\n")[2].partition("\nReadings\n")[2]
    assert len(shipped.book().asked_first) == readings.count("  no  ")


def test_what_cannot_be_read_is_asked_again(tmp_path: Path) -> None:
    """A reading, a fault or minutes that mean nothing are refused in a sentence and asked again."""
    lines = "none\nbananas\nwiring\nend\nrusty dreams\nripple on the supply\n\nsoon\n9\n\nleave\n"
    said = diag(tmp_path, *LABELLED, lines=lines).stdout
    assert "`bananas` is none of the choices" in said
    assert "here is no fault `rusty dreams`" in said
    assert "`soon`" in said


def test_a_label_is_text_and_nothing_else(tmp_path: Path) -> None:
    """Control and markup characters in a label are written out, never obeyed."""
    odd = "\x1b[2J[red]<b>Van\u202e3"
    said = diag(tmp_path, *SHEET, lines=f"{odd}\nleave\n").stdout
    assert "\x1b" not in said
    assert "\u202e" not in said


def test_a_sheet_to_write_on_has_no_form_for_programs(tmp_path: Path) -> None:
    """`--blank --json` is refused in a sentence."""
    said = diag(tmp_path, "sequence", "radio noise", "--blank", "--json", code=2)
    assert said.stderr == (
        "a sheet to write on has no form for programs; leave --json or --blank out\n"
    )


def test_leaving_at_the_label_keeps_what_was_said(tmp_path: Path) -> None:
    """`leave` at the first line saves an empty sheet that can be gone on with."""
    said = diag(tmp_path, *SHEET, lines="leave\n").stdout
    assert "Saved. Go on with the sheet" in said
    again = diag(tmp_path, "enter", "--resume", _session(said), lines="none\nleave\n").stdout
    assert "Saved. Go on with the sheet" in again
