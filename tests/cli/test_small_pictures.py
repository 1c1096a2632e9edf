"""Small pictures in a session: true to the readings, never too wide, drawn once, never piped."""

from __future__ import annotations

import io
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.bench.pictures.current import PHASES, PhaseCurrent, phase_currents
from diag.bench.pictures.heat import BALANCE, HeatBalance, heat_balance
from diag.bench.pictures.supply import AT_HEATER, CUT_OFF, LINE, PATH, load_line_of, supply_drops
from diag.cli.account.belief_course import belief_rows, share_of, telling
from diag.cli.account.drawings import current_rows, drops_rows, heat_rows, load_line_rows
from diag.cli.account.line import NOTHING
from diag.cli.account.pictures import PICTURES, Album, belief_moved, show_pictures
from diag.cli.ask.conversation import Conversation
from diag.cli.book import load_book
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.session.account.course import belief_course
from diag.session.account.numbers import numbers_of
from diag.session.controller import SessionController
from diag.session.state import SessionState
from tests.cli.terminals import taken, terminal

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
    """Each reading, figure and datum that is named is one of the shipped rules."""
    data = {f"unit {name}" for name in book.unit_data}
    known = book.findings.keys() | book.figures.keys() | data
    named = {*PATH, *LINE, *BALANCE, CUT_OFF, *(name for row in PHASES for name in row[1:])}
    assert set() == named - known


@settings(deadline=None)
@given(st.floats(10, 30), st.floats(1, 60), st.floats(1e-3, 0.15), st.floats(5, 25), rooms)
def test_the_load_line_is_the_line_through_its_readings(
    rest: float, amps: float, ohm: float, heater: float, width: int
) -> None:
    """By Ohm's law, and as numpy's least squares fits it; no row is wider than there is room."""
    under = rest - ohm * amps
    numbers = dict(zip(LINE, (rest, under, amps), strict=True)) | {AT_HEATER: heater, CUT_OFF: 10.5}
    line = load_line_of(numbers)
    assert line is not None
    slope, at_rest = np.polyfit([0.0, amps], [rest, under], 1)
    assert (-slope, at_rest) == pytest.approx((line.source.resistance_ohm, line.source.emf_v))
    rows = load_line_rows(line, width)
    assert max(map(taken, rows)) <= width
    assert "o" in "".join(rows)


@pytest.mark.parametrize("under", [12.6, 12.7])
def test_volts_that_do_not_fall_are_no_line(under: float) -> None:
    """A battery that reads as much under load as at rest, or more, has no line to draw."""
    assert load_line_of(dict(zip(LINE, (12.6, under, 9.0), strict=True))) is None


@settings(deadline=None)
@given(volts, volts, volts, rooms)
def test_the_drops_add_up(rest: float, terminals: float, heater: float, width: int) -> None:
    """At rest less both losses is what the heater gets, and the rows fit."""
    drops = supply_drops(dict(zip(PATH, (rest, terminals, heater), strict=True)))
    assert drops is not None
    assert heater == pytest.approx(rest - drops.in_the_battery_v - drops.in_the_cables_v)
    assert max(map(taken, drops_rows(drops, width))) <= width


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0, 60), st.none() | st.floats(1, 60)), min_size=1), rooms)
def test_a_phase_as_expected_ends_at_its_mark(
    amps: list[tuple[float, float | None]], width: int
) -> None:
    """Each phase has a row that fits; a bar ends before its mark just where it reads less."""
    phases = [PhaseCurrent("fan at speed", read, expected) for read, expected in amps]
    rows = current_rows(phases, width)
    assert len(phases) == len(rows)
    for (read, expected), row in zip(amps, rows, strict=True):
        assert taken(row) <= width
        assert row.count("|") == (expected is not None)
        bar, mark, beyond = row.partition("|")
        if mark and beyond:
            assert read > (expected or 0.0)
        if mark and bar.endswith("# "):
            assert read < (expected or 0.0)


def test_phases_stand_in_the_order_of_a_run() -> None:
    """Whatever was read first, the fan comes before the glow plug, each with what is expected."""
    numbers = {
        "amps while igniting": 9.0, "amps in fan run-up": 5.0, "unit ignition current": 9.5
    }  # fmt: skip
    assert (PhaseCurrent("fan run-up", 5.0, None), PhaseCurrent("glow plug", 9.0, 9.5)) == (
        phase_currents(numbers)
    )


def test_heat_is_that_of_the_figures(book: Rulebook) -> None:
    """Air: volume flow, density and 1005 J/kg K; fuel: 3.2 x 0.021 ml/s of diesel, by hand.

    The air is dry, at 1013.25 hPa and the outlet's warmth, its mean speed 0.817 of that in the
    middle (power law, n = 7); diesel of 42.6 to 43.2 MJ/kg net (EN 590) and 0.835 kg/l.
    """
    names = [name for name in READ if name.startswith(("pump", "fuel", "air"))]
    balance = heat_balance(numbers_of(begun(book, *names).state))
    assert balance is not None
    fuel_w = 3.2 * 0.021e-3 * 0.835 * 42.9e6
    density = 101325 / (287.05 * (273.15 + 95))
    air_w = 0.817 * 11 * np.pi * 0.03**2 * density * 1005 * (95 - 18)
    assert balance.fuel_w == pytest.approx(fuel_w, rel=0.02)
    assert balance.air_w == pytest.approx(air_w, rel=0.02)
    assert balance.percent == pytest.approx(100 * air_w / fuel_w, rel=0.03)


@settings(deadline=None)
@given(st.floats(0, 9000), st.floats(0, 9000), rooms)
def test_heat_rows_fit(fuel: float, air: float, width: int) -> None:
    """Also where more heat is read in the air than there was in the fuel."""
    assert max(map(taken, heat_rows(HeatBalance(fuel, air), width))) <= width


@settings(deadline=None, max_examples=10)
@given(st.lists(st.sampled_from(sorted(READ)), unique=True, min_size=1, max_size=6))
def test_belief_moves_as_in_sessions_of_fewer_answers(book: Rulebook, read: list[str]) -> None:
    """Each step is the belief of a session that was told so much and no more."""
    steps = belief_course(begun(book, *read).state)
    assert ["", *read] == [step.told for step in steps]
    for count, step in enumerate(steps):
        assert begun(book, *read[:count]).state.posterior.causes == pytest.approx(step.shares)


def test_belief_stands_as_corrected_and_taken_back(book: Rulebook) -> None:
    """What was taken back is in no row, and a correction stands where its answer was."""
    controller = begun(book, "panel", "volts at rest", "amps while igniting")
    controller.undo()
    controller.change("panel = dark")
    steps = belief_course(controller.state)
    assert [("", None), ("panel", "dark")] == [(one.told, one.value) for one in steps[:2]]
    assert ["", "panel", "volts at rest"] == [one.told for one in steps]
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
        after.told: abs(share_of(after, first[0]) - share_of(before, first[0]))
        for before, after in pairwise(steps)
    }
    assert max(moves, key=lambda name: moves[name]) in {
        one.told for one in telling(steps, first, most)
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


PATH_READ = [f"{name} = {READ[name]}" for name in PATH]
VOLTS = [f"{PICTURES['volts'].title}:"]


def test_a_picture_is_drawn_once_when_its_last_reading_comes(book: Rulebook) -> None:
    """Not before, not again, but anew where a reading that it shows is corrected."""
    assert [[], [], VOLTS, [], VOLTS] == drawn_after(
        book, *((one, "") for one in PATH_READ), ("panel = lit", ""), ("volts at rest = 12.3 V", "")
    )


def test_a_picture_waits_for_what_is_asked_next(book: Rulebook) -> None:
    """While one of its own readings comes next, it is not drawn yet."""
    amps = ("amps in fan run-up", "amps with the fan at speed", "amps while igniting")
    acts = [(f"{name} = {READ[name]}", "amps with fuel on") for name in amps]
    assert [[], [], [], [f"{PICTURES['amps'].title}:"]] == drawn_after(
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
    assert (
        "Of 12.10 V at rest the battery itself loses 1.80 V and the cables 0.40 V; the heater "
        "gets 9.90 V." == " ".join(out.getvalue().split())
    )
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


class Lines:
    """Lines typed one after the other."""

    def __init__(self, *lines: str) -> None:
        self._lines = iter(lines)

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        return next(self._lines, None)


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_the_word_draws_in_a_session(book: Rulebook, columns: int) -> None:
    """`picture` and a name, or its beginning, draw it; a page's number the next page."""
    controller = begun(book, *READ)
    with terminal(columns) as out:
        Conversation(controller, Screen(), Lines("picture load", "picture", "picture 2")).run()
    said = out.getvalue()
    assert PICTURES["load line"].title in said
    assert ". load line" in said
    assert "`picture 2` shows the next." in " ".join(said.split())
    assert max(map(taken, said.splitlines())) < columns
