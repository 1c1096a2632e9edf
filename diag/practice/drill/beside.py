"""A drill looked back upon: the learner's way beside the tool's, and what would have split best."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from diag.model.frozen import frozen
from diag.model.phrasing import capital
from diag.model.rulebook import Rulebook
from diag.practice.drill.hints import Split, best_split, open_bits
from diag.practice.drill.levels import drill_unit
from diag.practice.player import Played, play
from diag.practice.work import COOLS
from diag.practice.world import WorldFiles
from diag.session.state import SessionState

if TYPE_CHECKING:  # what is looked back upon
    from diag.practice.drill.drill import Drill

TOLD_BITS = 0.15
"""By how many bits a reading must narrow it down to be told as telling."""
TellsDone = Callable[[float], None]


@frozen
class Point:
    """One deed of the learner's with what it told, and what would have split best just before."""

    heard: str
    minutes: float
    """Of work and of waiting, by its end."""
    told_bits: float
    """By how much it narrowed down what is in question; below 0 where more came into question."""
    best: Split | None
    safety: bool = False
    """True where it looked for dangers, which comes before all that splits."""

    def __str__(self) -> str:
        if self.safety:
            return "safety comes first"
        told = "told little" if self.told_bits < TOLD_BITS else f"told {self.told_bits:.1f} bits"
        if self.best is None:
            return f"{told}; nothing was left that would split it"
        if self.best.check.id in self.heard:
            return f"{told}; it was the best there was"
        return f"{told}; best would have been {self.best}"


def tool_path(files: WorldFiles, book: Rulebook, drill: Drill, *, seed: int) -> Played:
    """Let the tool play the same unit, drawn anew; return how it went."""
    drawn = (seed, drill.unit.number)
    unit = drill_unit(files, book, drill.level, drill.unit.fault, drawn=drawn)
    return play(book, unit, drill.state.compiled)


def looked_back(drill: Drill, done: TellsDone = lambda _: None) -> tuple[Point, ...]:
    """Return, deed by deed, what each told and the check that would have split best before it."""
    state = SessionState(drill.book, drill.state.unit, drill.unit.complaint, drill.state.compiled)
    points, spent = list[Point](), 0.0
    opened = frozenset({COOLS})
    for at, step in enumerate(drill.steps):
        done(at / len(drill.steps))
        spent += step.minutes + step.waited
        if not step.events:
            continue
        best = best_split(state, opened)
        before = open_bits(state.posterior)
        for event in step.events:
            state.apply(event)
        told = before - open_bits(state.posterior)
        safety = any(_is_safety(drill.book, name) for name in step.deed.names)
        points.append(Point(step.outcome.heard, spent, told, best, safety))
    return tuple(points)


def tool_steps(book: Rulebook, played: Played) -> tuple[tuple[float, str], ...]:
    """Return what the tool did in order, with the minutes of work by then."""
    return tuple(
        (spent, name if kind == "check" else f"repair: {capital(book.causes[name].title)}")
        for spent, kind, name in played.path
    )


def _is_safety(book: Rulebook, name: str) -> bool:
    yields = book.checks[name].yields if name in book.checks else (name,)
    return not book.asked_first.isdisjoint(yields)
