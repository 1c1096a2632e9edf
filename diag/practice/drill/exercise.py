"""An exercise for a class: a unit as it comes in, what is read of it, and the answer apart."""

from __future__ import annotations

from collections.abc import Iterator

from diag.model.frozen import frozen
from diag.practice.drill.beside import Point, looked_back, proof_of, tool_path, tool_steps
from diag.practice.drill.deeds import Deed
from diag.practice.drill.drill import Drill
from diag.practice.drill.levels import DrillLevel, drawn_from, families_of
from diag.practice.drill.owner import Arrival
from diag.practice.drill.trade_words import READY
from diag.practice.world import WorldFiles
from diag.session.offer.opening import opening
from diag.session.result import shown

TELLING_BITS = 0.3
"""From how many bits on a reading is told as one that splits."""


@frozen
class RightAnswer:
    """One thing that is wrong: what, why, how it is put right, and how that is proved."""

    family: str
    cause: str
    proof: str


@frozen
class Exercise:
    """One exercise; `readings` come check by check, each with what it reads, as people put it."""

    number: int
    seed: int
    level: DrillLevel
    arrival: Arrival
    readings: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    answers: tuple[RightAnswer, ...]
    """None for a sound unit."""
    way: tuple[tuple[float, str], ...]
    """What the tool does, with the minutes of work by then."""
    telling: tuple[Point, ...]
    """The checks that told most."""
    proposed: tuple[str, ...]
    """The causes that the tool repaired, in order."""


def faults_for(files: WorldFiles, level: DrillLevel, cause: str) -> tuple[str, ...]:
    """Return the faults of a level that count as a cause; of two faults one is drawn beside it."""
    return tuple(
        each.id for each in drawn_from(files, level) if any(cause in t for t in each.truths)
    )


def exercise(files: WorldFiles, drill: Drill, *, seed: int) -> Exercise:
    """Make an exercise of a drill at its beginning: the usual checks are done and written down.

    These are the look round for danger, the first looks of the complaint, and what the tool looks
    at on its way before its first repair.
    """
    played = tool_path(files, drill.book, drill, seed=seed)
    before = [name for _, kind, name in _until_repair(played.path) if kind == "check"]
    usual = (*opening(drill.book, drill.unit.complaint), *before)
    for name in dict.fromkeys(usual):
        drill.work.opened |= READY.keys()
        drill.do(Deed("read", (name,)))
    answers = families_of(drill.book, drill.unit.truths) if drill.unit.truths else ()
    return Exercise(
        drill.unit.number,
        seed,
        drill.level,
        drill.arrival,
        tuple(_table(drill)),
        tuple(
            RightAnswer(family, cause, proof_of(drill, drill.book.causes[cause]))
            for family, cause in answers
        ),
        tool_steps(drill.book, played),
        tuple(point for point in looked_back(drill) if point.told_bits >= TELLING_BITS),
        tuple(played.proposed),
    )


def _until_repair(path: list[tuple[float, str, str]]) -> Iterator[tuple[float, str, str]]:
    for each in path:
        if each[1] == "repair":
            return
        yield each


def _table(drill: Drill) -> Iterator[tuple[str, tuple[tuple[str, str], ...]]]:
    """Yield what was read, check by check; what could not be read is left out."""
    told: set[str] = set()
    for step in drill.steps:
        check = drill.book.checks[step.deed.names[0]]
        rows = []
        for name in check.yields:
            reading = drill.state.readings.get(name)
            if reading is not None and name not in told:
                told.add(name)
                rows.append((name, shown(reading.value)))
        if rows and step.outcome.stopped is None:
            yield check.id, tuple(rows)
