"""Small pictures of what was read: which there are, what each rests on, and how one asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from diag.cli.account import drawings
from diag.cli.account.belief_course import belief_rows, belief_words
from diag.cli.account.line import ranked
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen
from diag.jobs.pictures.drawn import (
    HeatFlow,
    LoadLine,
    StartCurrent,
    SupplyLosses,
    title_of,
    told_in_words,
)
from diag.jobs.pictures.read import (
    AT_HEATER,
    AT_REST,
    AT_TERMINALS,
    IGNITING,
    IN_AIR,
    IN_FUEL,
    RUN_PHASES,
    pictures_of,
)
from diag.model.frozen import frozen
from diag.model.quantity import Quantity
from diag.session.account.course import belief_course
from diag.session.account.suspects import suspects
from diag.session.state import SessionState

BELIEF = "belief"
FEWEST, MOST_NAMED = 3, 3
"""Phases from which a course is drawn, and readings named that a picture needs."""
BETWEEN = ", good from [ to ]"
SET_IN = "  "
LEAST_ANSWERS, MOST_AT_A_VERDICT = 3, 6


@frozen
class Drawn:
    """A picture that there are readings for: its title, rows by width, and the same in words."""

    title: str
    rows: Callable[[int], Sequence[str]]
    words: str


@frozen
class PictureKind:
    """What is shown of a session: which data, the readings that it rests on, and its rows.

    Of those readings so many are needed; all, where `fewest` is 0.
    """

    shows: type
    rests_on: tuple[str, ...]
    rows: Callable[[Any, int], Sequence[str]]
    fewest: int = 0
    marks: str = ""
    """What its marks mean, behind the title."""

    def read(self, state: SessionState) -> Mapping[str, Quantity]:
        """Return what it rests on, as far as that is known at this stage."""
        known = ((name, state.now.value(name)) for name in self.rests_on)
        return {name: value for name, value in known if isinstance(value, Quantity)}

    def is_whole(self, read: Mapping[str, Quantity]) -> bool:
        return len(read) >= (self.fewest or len(self.rests_on))

    def drawn(self, state: SessionState) -> Drawn | None:
        """Return the picture; None where there are not the readings for it."""
        found = next((one for one in pictures_of(state) if isinstance(one, self.shows)), None)
        if found is None or (isinstance(found, LoadLine) and found.milliohm <= 0.0):
            return None  # volts that do not fall are no line; the session names the slip
        return Drawn(title_of(found) + self.marks, partial(self.rows, found), told_in_words(found))


PICTURES: Mapping[str, PictureKind] = {
    "volts": PictureKind(SupplyLosses, (AT_REST, AT_TERMINALS, AT_HEATER), drawings.drops_rows),
    "load line": PictureKind(LoadLine, (AT_REST, AT_TERMINALS, IGNITING), drawings.load_line_rows),
    "amps": PictureKind(StartCurrent, tuple(RUN_PHASES), drawings.current_rows, FEWEST, BETWEEN),
    "heat": PictureKind(HeatFlow, (IN_FUEL, IN_AIR), drawings.heat_rows),
}
"""By the name that one types; belief, which rests on all answers, is drawn beside them."""


def belief_moved(state: SessionState, most: int | None = None) -> Drawn:
    """Return how belief moved: by each answer, or by so many at `most` that moved it most."""
    steps = belief_course(state)
    names = [name for name, _, _ in ranked(suspects(state))]
    return Drawn(
        "How belief moved" if most is None else "What moved belief most",
        lambda width: belief_rows(steps, names, width, most),
        belief_words(steps, names),
    )


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
    drawn = belief_moved(state) if name == BELIEF else PICTURES[name].drawn(state)
    if drawn is None:
        raise WrongUse(f"`{name}` cannot be drawn yet; it needs {_needs(state, PICTURES[name])}")
    show_drawn(screen, drawn)


def _show_all(screen: Screen, state: SessionState) -> None:
    lacking = list[str]()
    for name, kind in PICTURES.items():
        drawn = kind.drawn(state)
        if drawn is not None:
            show_drawn(screen, drawn)
        elif {*kind.rests_on} & (state.rulebook.findings.keys() | state.rulebook.figures):
            lacking.append(f"{name} (needs {_needs(state, kind)})")
    show_drawn(screen, belief_moved(state))
    if lacking:
        screen.say(f"Not yet: {'; '.join(lacking)}.")


def _needs(state: SessionState, kind: PictureKind) -> str:
    """Name the readings that a picture still lacks."""
    told = state.now.told
    lacks = [name for name in sorted(state.under(kind.rests_on)) if name not in told]
    if kind.fewest:
        return f"{kind.fewest} of its readings, as `{lacks[0]}`"
    if not lacks:
        return "other readings: those that there are do not fit each other"
    more = f" and {len(lacks) - MOST_NAMED} more" if len(lacks) > MOST_NAMED else ""
    return ", ".join(f"`{one}`" for one in lacks[:MOST_NAMED]) + more


def show_drawn(screen: Screen, drawn: Drawn) -> None:
    """Draw a picture below its title, or say what it shows where nothing is drawn."""
    if screen.draws:
        screen.say(f"{drawn.title}:", bold=True)
        screen.lines(f"{SET_IN}{row}" for row in drawn.rows(screen.width - len(SET_IN)))
    else:
        screen.say(drawn.words)


class Album:
    """What was drawn by itself in a session: each picture once, unless what it shows changed."""

    def __init__(self, screen: Screen) -> None:
        self._screen = screen
        self._shown: dict[str, Mapping[str, Quantity]] = {}

    def draw(self, state: SessionState, asked: str) -> None:
        """Draw what became whole; a picture waits while one of its own readings is `asked` next."""
        if not self._screen.draws:
            return
        for name, kind in PICTURES.items():
            read = kind.read(state)
            if not kind.is_whole(read) or self._holds(name, read):
                continue
            drawn = None if asked in state.under(kind.rests_on) else kind.drawn(state)
            if drawn is not None:
                show_drawn(self._screen, drawn)
                self._shown[name] = read

    def _holds(self, name: str, read: Mapping[str, Quantity]) -> bool:
        """Tell whether a picture was drawn, and what it showed is still so."""
        before = self._shown.get(name)
        return before is not None and before.items() <= read.items()

    def draw_belief(self, state: SessionState) -> None:
        """Draw how belief moved, by the answers that moved it most, once there are some."""
        if self._screen.draws and len(state.readings) >= LEAST_ANSWERS:
            show_drawn(self._screen, belief_moved(state, MOST_AT_A_VERDICT))
