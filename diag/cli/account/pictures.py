"""Small pictures of what was read: which there are, what each rests on, and how one asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TypeVar

from diag.bench.pictures.current import FEWEST, READ_IN_PHASES, phase_currents
from diag.bench.pictures.heat import BALANCE, heat_balance
from diag.bench.pictures.supply import LINE, PATH, load_line_of, supply_drops
from diag.cli.account import drawings
from diag.cli.account.belief_course import belief_rows, belief_words
from diag.cli.account.line import ranked
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen
from diag.model.frozen import frozen
from diag.session.account.course import belief_course
from diag.session.account.numbers import numbers_of
from diag.session.account.suspects import suspects
from diag.session.state import SessionState

Data = TypeVar("Data")
BELIEF = "belief"
MOST_NAMED = 3
SET_IN = "  "
LEAST_ANSWERS, MOST_AT_A_VERDICT = 3, 6


@frozen
class Drawn:
    """A picture that there are readings for: its rows, by width, and the same as a sentence."""

    rows: Callable[[int], Sequence[str]]
    words: str


@frozen
class Picture:
    """A picture by its title, the readings and figures that it rests on, and what makes it.

    Of those it needs so many; all, where `fewest` is 0.
    """

    title: str
    rests_on: tuple[str, ...]
    make: Callable[[Mapping[str, float]], Drawn | None]
    fewest: int = 0


def _made(
    data: Callable[[Mapping[str, float]], Data | None],
    rows: Callable[[Data, int], Sequence[str]],
    words: Callable[[Data], str],
) -> Callable[[Mapping[str, float]], Drawn | None]:
    def make(numbers: Mapping[str, float]) -> Drawn | None:
        found = data(numbers)
        return None if not found else Drawn(partial(rows, found), words(found))

    return make


PICTURES: Mapping[str, Picture] = {
    "volts": Picture(
        "Where the volts go as it ignites",
        PATH,
        _made(supply_drops, drawings.drops_rows, drawings.drops_words),
    ),
    "load line": Picture(
        "The battery's load line",
        LINE,
        _made(load_line_of, drawings.load_line_rows, drawings.load_line_words),
    ),
    "amps": Picture(
        "Amps by phase, | where they are expected",
        READ_IN_PHASES,
        _made(phase_currents, drawings.current_rows, drawings.current_words),
        FEWEST,
    ),
    "heat": Picture(
        "Heat in the air against heat in the fuel",
        BALANCE,
        _made(heat_balance, drawings.heat_rows, drawings.heat_words),
    ),
}
"""By the name that one types; belief, which rests on all answers, is drawn beside them."""


def belief_moved(state: SessionState, most: int | None = None) -> Drawn:
    """Return how belief moved: by each answer, or by so many at `most` that moved it most."""
    steps = belief_course(state)
    names = [name for name, _, _ in ranked(suspects(state))]
    return Drawn(lambda width: belief_rows(steps, names, width, most), belief_words(steps, names))


def show_pictures(screen: Screen, state: SessionState, wanted: str) -> None:
    """Show one picture by its name, or by a page's number all that there are readings for.

    Raises `WrongUse` for one that there is not, with what it still needs where it is known.
    """
    if not wanted or wanted.isdecimal():
        screen.page(wanted, "picture", lambda: _show_all(screen, state))
        return
    meant = [name for name in (*PICTURES, BELIEF) if name.startswith(wanted.lower())]
    if len(meant) != 1:
        known = ", ".join((*PICTURES, BELIEF))
        raise WrongUse(f"there is no picture `{wanted[:40]}`; there are {known}")
    name = meant[0]
    if name == BELIEF:
        show_drawn(screen, "How belief moved", belief_moved(state))
        return
    drawn = PICTURES[name].make(numbers_of(state))
    if drawn is None:
        raise WrongUse(f"`{name}` cannot be drawn yet; it needs {_needs(state, PICTURES[name])}")
    show_drawn(screen, PICTURES[name].title, drawn)


def _show_all(screen: Screen, state: SessionState) -> None:
    numbers = numbers_of(state)
    lacking = list[str]()
    for name, picture in PICTURES.items():
        drawn = picture.make(numbers)
        if drawn is not None:
            show_drawn(screen, picture.title, drawn)
        elif {*picture.rests_on} & (state.rulebook.findings.keys() | state.rulebook.figures):
            lacking.append(f"{name} (needs {_needs(state, picture)})")
    show_drawn(screen, "How belief moved", belief_moved(state))
    if lacking:
        screen.say(f"Not yet: {'; '.join(lacking)}.")


def _needs(state: SessionState, picture: Picture) -> str:
    """Name the readings that a picture still lacks."""
    known = numbers_of(state)
    lacks = sorted(name for name in state.under(picture.rests_on) if name not in known)
    if picture.fewest:
        return f"{picture.fewest} of its readings, as `{lacks[0]}`"
    if not lacks:
        return "other readings: those that there are do not fit each other"
    more = f" and {len(lacks) - MOST_NAMED} more" if len(lacks) > MOST_NAMED else ""
    return ", ".join(f"`{one}`" for one in lacks[:MOST_NAMED]) + more


def show_drawn(screen: Screen, title: str, drawn: Drawn) -> None:
    """Draw a picture below its title, or say what it shows where nothing is drawn."""
    if screen.draws:
        screen.say(f"{title}:", bold=True)
        screen.lines(f"{SET_IN}{row}" for row in drawn.rows(screen.width - len(SET_IN)))
    else:
        screen.say(drawn.words)


class Album:
    """What was drawn by itself in a session: each picture once, unless what it shows changed."""

    def __init__(self, screen: Screen) -> None:
        self._screen = screen
        self._shown: dict[str, Mapping[str, float]] = {}

    def draw(self, state: SessionState, asked: str) -> None:
        """Draw what became whole; a picture waits while one of its own readings is `asked` next."""
        if not self._screen.draws:
            return
        numbers = numbers_of(state)
        for name, picture in PICTURES.items():
            read = {one: numbers[one] for one in picture.rests_on if one in numbers}
            whole = len(read) >= (picture.fewest or len(picture.rests_on))
            if not whole or self._holds(name, read) or asked in state.under(picture.rests_on):
                continue
            drawn = picture.make(numbers)
            if drawn is not None:
                show_drawn(self._screen, picture.title, drawn)
                self._shown[name] = read

    def _holds(self, name: str, read: Mapping[str, float]) -> bool:
        """Tell whether a picture was drawn, and what it showed is still so."""
        before = self._shown.get(name)
        return before is not None and before.items() <= read.items()

    def draw_belief(self, state: SessionState) -> None:
        """Draw how belief moved, by the answers that moved it most, once there are some."""
        if self._screen.draws and len(state.readings) >= LEAST_ANSWERS:
            moved = belief_moved(state, MOST_AT_A_VERDICT)
            show_drawn(self._screen, "What moved belief most", moved)
