"""A drill looked back upon: the learner's way beside the tool's, and what would have split best."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from diag.model.expression import Condition, names_in, written
from diag.model.frozen import frozen
from diag.model.phrasing import capital
from diag.model.rulebook import Cause, Rulebook
from diag.practice.drill.hints import Split, best_split
from diag.practice.drill.levels import drill_unit
from diag.practice.player import Played, play
from diag.practice.work import COOLS
from diag.practice.world import WorldFiles
from diag.reason.belief.information import relative_entropy
from diag.reason.belief.posterior import Posterior
from diag.reason.chain.engine import Chain
from diag.session.journal.events import Answered, Event, Passed, flat
from diag.session.proof.wanted import wanted
from diag.session.state import SessionState

if TYPE_CHECKING:  # what is looked back upon
    from diag.practice.drill.drill import Drill

TOLD_BITS = 0.15
"""By how many bits a reading must move belief to be told as telling."""
TellsDone = Callable[[float], None]


@frozen
class Point:
    """One deed of the learner's with what it told, and what would have split best just before."""

    heard: str
    minutes: float
    """Of work and of waiting, by its end."""
    told_bits: float
    """By how much it moved what is believed of the causes."""
    best: Split | None
    was_best: bool = False
    """True where it was that check."""
    safety: str = ""
    """What is to be said where it was the first look for dangers, which come before all else."""

    def __str__(self) -> str:
        if self.safety:
            return self.safety
        told = "told little" if self.told_bits < TOLD_BITS else f"told {self.told_bits:.1f} bits"
        if self.best is None:
            return f"{told}; nothing was left that would split it"
        if self.was_best:
            return f"{told}; it was the best there was"
        if self.told_bits >= self.best.bits:
            return f"{told}; well chosen"
        return f"{told}; best would have been {self.best}"


def tool_path(files: WorldFiles, book: Rulebook, drill: Drill, *, seed: int) -> Played:
    """Let the tool play the same unit, drawn anew; return how it went."""
    drawn = (seed, drill.unit.number)
    unit = drill_unit(files, book, drill.level, drill.unit.fault, drawn=drawn)
    return play(book, unit, drill.state.compiled)


def looked_back(drill: Drill, done: TellsDone = lambda _: None) -> tuple[Point, ...]:
    """Return, deed by deed, what each told and the check that would have split best before it."""
    state = SessionState(drill.book, drill.state.unit, drill.unit.complaint, drill.state.compiled)
    points, spent, looked_round = list[Point](), 0.0, False
    opened = frozenset({COOLS})
    for at, step in enumerate(drill.steps):
        done(at / len(drill.steps))
        spent += step.minutes + step.waited
        if not step.events:
            continue
        best = best_split(state, opened)
        before = _shares(state.posterior)
        for event in step.events:
            state.apply(event)
        told = relative_entropy(_shares(state.posterior), before)
        safety = ""
        if not looked_round and any(_is_safety(drill.book, name) for name in step.deed.names):
            looked_round = True
            safety = "it should have come first" if points else "safety comes first"
        was_best = best is not None and best.check.id in _checks_of(step.events)
        points.append(Point(step.outcome.heard, spent, told, best, was_best, safety))
    return tuple(points)


def _checks_of(events: Iterable[Event]) -> set[str]:
    """Return the checks by which events were read."""
    read = [each for event in events for each in flat(event)]
    return {each.check for each in read if isinstance(each, Answered | Passed)}


def _shares(posterior: Posterior) -> list[float]:
    """Return what is believed of each cause, and of none: two at once count half each.

    So two states of belief that pair other causes can be held against each other; what is lost by
    it makes a reading seem to tell less, never more (data processing inequality).
    """
    shares = list(posterior.single)
    for several, share in posterior.pair.items():
        for cause in several:
            shares[cause] += share / len(several)
    return [*shares, posterior.nothing, posterior.unknown]


def proof_of(drill: Drill, cause: Cause) -> str:
    """Return what proves a repair on this unit, with its numbers, as `fuel ...: 2 ml or more`."""
    return "; ".join(_proved(drill.state, proof.condition) for proof in cause.proof)


def _proved(state: SessionState, condition: Condition) -> str:
    chain, findings = Chain(state.compiled.network, state.unit), state.rulebook.findings
    told = []
    for name in names_in(condition):
        if name.startswith("unit "):
            continue
        if name not in findings:
            return written(condition)
        good = wanted(chain, condition, findings[name], state.unit, state.compiled.below)
        if good is None:
            return written(condition)
        told.append(f"{name}: {good}")
    return "; ".join(told)


def tool_steps(book: Rulebook, played: Played) -> tuple[tuple[float, str], ...]:
    """Return what the tool did in order, with the minutes of work by then."""
    return tuple(
        (spent, name if kind == "check" else f"repair: {capital(book.causes[name].title)}")
        for spent, kind, name in played.path
    )


def _is_safety(book: Rulebook, name: str) -> bool:
    yields = book.checks[name].yields if name in book.checks else (name,)
    return not book.asked_first.isdisjoint(yields)
