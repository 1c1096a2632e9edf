"""Small pictures in a session: true to the readings, never too wide, drawn once, never piped."""

from __future__ import annotations

import io
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.account.belief_course import belief_rows, share_of, telling
from diag.cli.account.drawings import (
    LINE_HEIGHT,
    current_rows,
    drops_rows,
    heat_rows,
    load_line_rows,
)
from diag.cli.account.line import NOTHING
from diag.cli.account.pictures import PICTURES, Album, belief_moved, show_pictures
from diag.cli.ask.conversation import Conversation
from diag.cli.book import load_book
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen
from diag.jobs.pictures.drawn import HeatFlow, LoadLine, PhaseAmps, StartCurrent, SupplyLosses
from diag.jobs.pictures.read import RUN_PHASES
from diag.model.rulebook import Rulebook
from diag.session.account.course import belief_course
from diag.session.controller import SessionController
from diag.session.state import SessionState
from tests.cli.terminals import Lines, taken, terminal

READ = {
    "volts at rest": "12.1 V", "volts at the terminals while igniting": "10.3 V",
    "volts at the heater while igniting": "9.9 V", "amps while igniting": "9 A",
    "amps in fan run-up": "5.1 A", "amps with the fan at speed": "2.3 A", "panel": "lit",
    "pump rate at full power": "3.2 Hz", "fuel from 100 pulses": "2.1 ml",
    "air speed at the outlet": "11 m/s", "air at the inlet": "18 C", "air at the outlet": "95 C",
}  # fmt: skip
volts = st.floats(0.0, 32.0)
rooms = st.integers(36, 199)


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_book(None)


def begun(book: Rulebook, *read: str) -> SessionController:
    state = SessionState(book, book.units["LIB-03"], "will not start")
    controller = SessionController(state, lambda _: None, lambda: "")
    for name in read:
        controller.change(f"{name} = {READ[name]}")
    return controller


def test_what_pictures_rest_on_is_in_the_rules(book: Rulebook) -> None:
    """Each reading and figure that is named is one of the shipped rules."""
    named = {name for kind in PICTURES.values() for name in kind.rests_on}
    assert set() == named - book.findings.keys() - book.figures.keys()
    assert {*PICTURES["amps"].rests_on} == {*RUN_PHASES}


@settings(deadline=None)
@given(st.floats(10, 30), st.floats(1, 60), st.floats(1e-3, 0.15), st.floats(5, 25), rooms)
def test_the_load_line_goes_through_its_readings(
    rest: float, amps: float, ohm: float, heater: float, width: int
) -> None:
    """Its slope is what numpy's least squares fits; no row is wider than there is room."""
    line = LoadLine(rest, rest - ohm * amps, amps, heater, 10.5)
    slope, _ = np.polyfit([0.0, amps], [rest, line.terminals_v], 1)
    assert -1000 * slope == pytest.approx(line.milliohm, rel=1e-6, abs=1e-6)
    rows = load_line_rows(line, width)
    assert max(map(taken, rows)) <= width
    assert "x" in "".join(rows[:LINE_HEIGHT])


def test_volts_that_do_not_fall_are_no_line(book: Rulebook) -> None:
    """A battery that reads as much under load as at rest, or more, has no line to draw."""
    controller = begun(book, "volts at rest", "amps while igniting")
    for under in ("12.1 V", "12.15 V"):
        controller.change(f"volts at the terminals while igniting = {under}")
        assert PICTURES["load line"].drawn(controller.state) is None


@settings(deadline=None)
@given(volts, volts, volts, st.none() | volts, rooms)
def test_the_drops_fit(
    rest: float, terminals: float, heater: float, cable: float | None, width: int
) -> None:
    """Each loss has its row, a cable's own where it was read; all rows fit."""
    rows = drops_rows(SupplyLosses(rest, terminals, heater, None, cable), width)
    assert 5 + (cable is not None) == len(rows)
    assert max(map(taken, rows)) <= width


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0, 60), st.floats(1, 30), st.floats(0, 30)), min_size=1), rooms)
def test_a_phase_stands_against_what_is_good(
    amps: list[tuple[float, float, float]], width: int
) -> None:
    """Each phase has a row that fits; a bar that ends before its first mark reads too little."""
    phases = [PhaseAmps("fan at speed", read, low, low + more) for read, low, more in amps]
    rows = current_rows(StartCurrent(tuple(phases)), width)
    assert len(phases) == len(rows)
    for one, row in zip(phases, rows, strict=True):
        assert taken(row) <= width
        assert one.low is not None
        assert one.high is not None
        before, mark, behind = row.rpartition("[")
        if mark and before.endswith("# "):
            assert one.amps < one.low
        if behind.partition("]")[2]:
            assert one.amps > one.high


@settings(deadline=None)
@given(st.floats(0, 9), st.floats(0, 9), st.none() | st.floats(0, 9), rooms)
def test_heat_rows_fit(fuel: float, air: float, exhaust: float | None, width: int) -> None:
    """Also where more heat is read in the air than there was in the fuel."""
    rows = heat_rows(HeatFlow(fuel, air, exhaust), width)
    assert 3 + (exhaust is not None) == len(rows)
    assert max(map(taken, rows)) <= width


def test_what_is_drawn_is_what_was_read(book: Rulebook) -> None:
    """The volts of the drops, the amps of each phase, and the heat of the figures, as told."""
    state = begun(book, *READ).state
    told = {name: kind.drawn(state) for name, kind in PICTURES.items()}
    words = {name: drawn.words if drawn else "" for name, drawn in told.items()}
    assert "12.10 V at rest the battery loses 1.80 V and the wiring 0.40 V" in words["volts"]
    # (12.1 V - 10.3 V) / 9 A, by Ohm's law
    assert "200 mohm inside the battery" in words["load line"]
    assert "fan runs up 5.10 A; fan at speed 2.30 A; glow plug on 9.00 A." == words["amps"]
    # 3.2 x 0.021 ml/s of 0.835 kg/l and 42.9 MJ/kg (EN 590; IPCC 2006), in kW
    assert f"Of {3.2 * 0.021e-3 * 0.835 * 42.9e3:.1f}" in words["heat"]


@settings(deadline=None, max_examples=10)
@given(st.lists(st.sampled_from(sorted(READ)), unique=True, min_size=1, max_size=6))
def test_belief_moves_as_in_sessions_of_fewer_answers(book: Rulebook, read: list[str]) -> None:
    """Each step is the belief of a session that was told so much and no more."""
    steps = belief_course(begun(book, *read).state)
    assert ["the complaint alone", *read] == [step.names[0] for step in steps]
    for count, step in enumerate(steps):
        assert begun(book, *read[:count]).state.posterior.causes == pytest.approx(step.shares)


def test_belief_stands_as_corrected_and_taken_back(book: Rulebook) -> None:
    """What was taken back is in no row, and a correction stands where its answer was."""
    controller = begun(book, "panel", "volts at rest", "amps while igniting")
    controller.undo()
    controller.change("panel = dark")
    steps = belief_course(controller.state)
    told = ["the complaint alone", "panel: dark", "volts at rest: 12.1 V"]
    assert told == [one.after for one in steps]
    assert controller.state.posterior.causes == pytest.approx(steps[-1].shares)


@settings(deadline=None, max_examples=20)
@given(rooms, st.none() | st.integers(2, 6))
def test_rows_of_belief_fit_and_tell_the_answers_that_moved_most(
    book: Rulebook, width: int, most: int | None
) -> None:
    """No row is too wide, there are so many at most, and the greatest move is among them."""
    steps = belief_course(begun(book, *sorted(READ)).state)
    names = ["worn battery", NOTHING, "empty battery"]
    rows = belief_rows(steps, names, width, most)
    assert max(map(taken, rows)) <= width
    assert len(rows) - 1 <= (most or len(steps))
    first = names[:1]
    moves = {
        after.after: abs(share_of(after, first[0]) - share_of(before, first[0]))
        for before, after in pairwise(steps)
    }
    assert max(moves, key=lambda name: moves[name]) in {
        one.after for one in telling(steps, first, most)
    }


def drawn_after(book: Rulebook, *acts: Sequence[str]) -> list[list[str]]:
    """Return the titles of what is drawn by itself after each act: a change, and what is asked."""
    controller, found = begun(book), []
    with terminal(80) as out:
        album = Album(Screen())
        for change, asked in acts:
            if change:
                controller.change(change)
            before = len(out.getvalue())
            album.draw(controller.state, asked)
            rows = out.getvalue()[before:].splitlines()
            found.append([row for row in rows if row.endswith(":")])
    return found


PATH = PICTURES["volts"].rests_on
PATH_READ = [f"{name} = {READ[name]}" for name in PATH]
VOLTS = ["Drops along the supply while the glow plug is on:"]


def test_a_picture_is_drawn_once_when_its_last_reading_comes(book: Rulebook) -> None:
    """Not before, not again, but anew where a reading that it shows is corrected."""
    assert [[], [], VOLTS, [], VOLTS] == drawn_after(
        book, *((one, "") for one in PATH_READ), ("panel = lit", ""), ("volts at rest = 12.3 V", "")
    )


def test_a_picture_waits_for_what_is_asked_next(book: Rulebook) -> None:
    """While one of its own readings comes next, it is not drawn yet."""
    amps = ("amps in fan run-up", "amps with the fan at speed", "amps while igniting")
    acts = [(f"{name} = {READ[name]}", "amps with fuel on") for name in amps]
    assert [[], [], [], ["Current of the start, phase by phase, good from [ to ]:"]] == drawn_after(
        book, *acts, ("panel = lit", "panel shows")
    )


@pytest.mark.parametrize("plain", [True, False])
def test_without_drawing_the_same_is_said(book: Rulebook, plain: bool) -> None:
    """In a pipe, or plain, nothing is drawn by itself, and asked for it is a sentence."""
    controller, out = begun(book, *PATH), io.StringIO()
    screen = Screen(out, plain=plain)
    Album(screen).draw(controller.state, "")
    Album(screen).draw_belief(controller.state)
    assert "" == out.getvalue()
    show_pictures(screen, controller.state, "volts")
    said = " ".join(out.getvalue().split())
    assert said.startswith("Of 12.10 V at rest the battery loses 1.80 V and the wiring 0.40 V;")
    show_pictures(screen, controller.state, "")
    said = " ".join(out.getvalue().split())
    assert "#" not in said
    assert f"{belief_moved(controller.state).words[:20]}" in said
    assert "Not yet: load line (needs `amps while igniting`); amps (needs 3 of its readings" in said


def test_a_picture_that_there_is_not_is_one_sentence(book: Rulebook) -> None:
    """Another name is refused with those that there are, and one too early with what it needs."""
    state, screen = begun(book).state, Screen(io.StringIO())
    with pytest.raises(WrongUse, match="there is no picture `moon`; there are volts, load line"):
        show_pictures(screen, state, "moon")
    with pytest.raises(WrongUse, match="`heat` cannot be drawn yet; it needs `air at the inlet`"):
        show_pictures(screen, state, "heat")


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_the_word_draws_in_a_session(book: Rulebook, columns: int) -> None:
    """`picture` and a name, or its beginning, draw it; a page's number the next page."""
    controller = begun(book, *READ)
    with terminal(columns) as out:
        Conversation(controller, Screen(), Lines("picture load", "picture", "picture 2")).run()
    said = out.getvalue()
    assert "Load line of the battery:" in said
    assert ". load line" in said
    assert "`picture 2` shows the next." in " ".join(said.split())
    assert max(map(taken, said.splitlines())) < columns
