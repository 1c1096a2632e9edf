"""What fitters type besides the words that are asked for: kept, named and taken as they mean it."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from diag.cli.ask.conversation import Conversation
from diag.cli.book import load_book
from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen
from diag.model.quantity import quantity
from diag.model.rulebook import Rulebook
from diag.rulebook import parse_answer
from diag.session.commands import Command, read_line
from diag.session.controller import SessionController
from diag.session.derivation import cause_named
from diag.session.journal.events import Event
from diag.session.offer.words import begin
from diag.session.prompt import AskFinding
from diag.session.proof.ending import ending
from diag.session.state import SessionState
from tests.cli.terminals import Lines
from tests.cli.test_ask import diag


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


def talk(book: Rulebook, complaint: str, *lines: str) -> tuple[SessionController, str]:
    """Hold a session at a pipe; return it with all that it said, on one line."""
    journal: list[Event] = []
    state = SessionState(book, book.units["small 12 V"], complaint)
    controller = SessionController(state, journal.append, lambda: "2026-01-01T10:00:00")
    out = io.StringIO()
    Conversation(controller, Screen(out, plain=True), Lines(*lines)).run()
    return controller, " ".join(out.getvalue().split())


def test_readings_of_a_file_are_taken_where_the_profile_says(tmp_path: Path) -> None:
    """`--profile` and `--without` hold for a session that begins with readings, and in JSON."""
    file = tmp_path / "bench.yaml"
    file.write_text("panel: lit\n", encoding="utf-8")
    opening = ("ask", "--unit", "small 12 V", "--complaint", "will not start")
    opening = (*opening, "--readings", str(file), "--profile")
    said = diag(tmp_path, *opening, "vehicle", "--without", "multimeter").stdout
    assert "Here: a fitter at the vehicle, by the road" in " ".join(said.split())
    found = json.loads(diag(tmp_path, *opening, "phone", "--json").stdout)
    assert [{"finding": "panel", "value": "lit", "how": "told"}] == found["readings"]
    assert "there is no profile" in diag(tmp_path, *opening, "garage", "--json", code=2).stderr


def test_a_slip_among_joint_answers_is_told_alone(book: Rulebook) -> None:
    """Of the first look, taken back as a slip, only what raised the danger is told at the end."""
    controller, said = talk(book, "will not start", "6", "undo", "yes")
    assert "It is taken back as a slip" in said
    told = ending(controller.state, "not found out").slips
    assert ["overheated after a power cut"] == [one.finding for one in told]


def test_a_no_is_not_the_beginning_of_another_word(book: Rulebook) -> None:
    """A choice is named by whole words of its look: `no` is none of `nobody knows`."""
    finding = book.findings["what was filled"]
    assert "unknown" == parse_answer("nobody knows", finding)
    assert "unknown" == parse_answer("Nobody", finding)
    with pytest.raises(ValueError, match="`no` is none of the choices"):
        parse_answer("no", finding)


@pytest.mark.parametrize("typed", ["dunno", "dont know", "I don't know", "i dont know", "no clue"])
def test_who_does_not_know_says_no_no(typed: str) -> None:
    """What people type for `unsure` is never heard as a no."""
    assert Command("unsure") == read_line(typed)


def test_a_sign_may_be_written_out(book: Rulebook) -> None:
    """`minus 12` is the number below zero, and no cable."""
    finding = book.findings["coldest night of the fuel"]
    assert quantity(-12, "C") == parse_answer("minus 12", finding)
    assert quantity(-12.5, "C") == parse_answer("Minus 12,5 C", finding)


def test_what_was_taken_down_before_is_not_read_back(book: Rulebook) -> None:
    """A told line is read back without the complaint and the readings that stand already."""
    lines = ("none", "lit", "fault", "say it wont start, the panel is lit and the pump is silent")
    controller, said = talk(book, "will not start", *lines, "yes")
    heard = said.partition("I heard:")[2].partition("Is that so?")[0]
    assert "pump do? silent" in heard
    assert "It does not start at all" not in heard
    assert "panel do" not in heard
    assert "silent" == controller.state.readings["pump clicks"].value
    assert (
        "Taken down before: It does not start at all."
        in talk(book, "will not start", "none", "say it wont start")[1]
    )


def test_a_told_line_is_one_act(book: Rulebook) -> None:
    """`undo` takes all back that one line told."""
    line = "say the fan turns and the pump is silent"
    controller, said = talk(book, "will not start", "none", line, "yes")
    assert {"fan at start", "pump clicks"} <= controller.state.readings.keys()
    controller, said = talk(book, "will not start", "none", line, "yes", "undo")
    assert {"fan at start", "pump clicks"}.isdisjoint(controller.state.readings)
    assert "Taken back: `fan at start`, runs; `pump clicks`, silent." in said


def test_one_of_several_is_picked_by_its_name_too(book: Rulebook) -> None:
    """Where one of several was heard, the choice's own name picks it as its number does."""
    said = talk(book, "will not start", "none", "it responds", "lit")
    assert "lit" == said[0].state.readings["panel"].value


def test_a_cause_goes_by_the_title_on_the_screen(book: Rulebook) -> None:
    """`why` and `why-not` take a cause by its name, its title, or what only it begins with."""
    for name, cause in book.causes.items():
        assert name == cause_named(book, name.upper())
        assert cause.title == book.causes[cause_named(book, cause.title) or ""].title
    assert cause_named(book, "") is None
    whole = "Air drawn in between tank and pump"
    assert whole == book.causes[cause_named(book, "air drawn in") or ""].title
    said = talk(book, "lights then dies", "none", f"why-not {whole}", f"why {whole}")[1]
    assert "There is no cause" not in said
    assert "The rules know no" not in said


def test_a_heading_names_the_tools_that_are_here(book: Rulebook) -> None:
    """A check is headed by those of its tools that are at hand; what needs the others waits."""
    state = SessionState(book, book.units["small 12 V"], "will not start")
    state.apply(begin(book, "vehicle", "caliper"))
    check = book.checks["measure hose and lift"]
    out = io.StringIO()
    ask = AskFinding(book.findings["fuel lift"], check, True, "it may tell")
    show_prompt(Screen(out, plain=True), state, ask)
    assert "measure hose and lift (at the heater; tape; 3 min)" in out.getvalue()
