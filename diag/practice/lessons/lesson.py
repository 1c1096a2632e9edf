"""A lesson as it is held: why it is so, a unit step by step, and what is practised."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from random import Random
from types import MappingProxyType
from typing import Any

from diag.model.amounts import NotAnAmount, amount, excerpt
from diag.model.frozen import frozen
from diag.model.origin import Origin
from diag.model.problem import DataEntry
from diag.model.quantity import UNITS
from diag.practice.drill.exercise import faults_for
from diag.practice.drill.levels import LEVELS, DrillLevel
from diag.practice.world import WorldFiles

PICTURES: Mapping[str, str] = MappingProxyType(
    {"current": "a start", "supply": "a start", "heat": "a full run"}
)
"""The pictures by name, and the act of which each is drawn where a step names none."""
WITHOUT_FAULT = "sound "
PLACEHOLDER = re.compile(r"\{([^{}]*)\}")


@frozen
class LessonStep:
    """Hold one question of a lesson, its answers each with what is told of it, and what follows."""

    id: str
    ask: str
    choices: Mapping[str, str]
    """Answer to what is told of it, in order."""
    right: str
    tell: tuple[str, ...]
    shows: tuple[str, ...]
    """The findings whose readings are shown."""
    picture: str
    act: str
    """What is done with the unit so that the picture can be drawn."""


@frozen
class Lesson:
    """Hold one lesson: why it is so, one unit step by step, and what is practised."""

    id: str
    number: int
    title: str
    why: tuple[str, ...]
    cautions: tuple[str, ...]
    kind: str
    """The class of the unit that is shown."""
    fault: str
    """What is wrong with it, by the name of a fault of the world; empty for a sound one."""
    seed: int
    steps: tuple[LessonStep, ...]
    practise: Mapping[str, int]
    """Cause to the level at which it is practised."""
    origin: Origin

    def item(self, step: LessonStep) -> str:
        """Return the name under which answers to a step's question are kept."""
        return f"{self.id}: {step.id}"


def practised(lesson: Lesson, world: WorldFiles, random: Random) -> tuple[DrillLevel, str]:
    """Draw one of the causes that a lesson has practised: its level and a fault that counts so."""
    cause = random.choice(sorted(lesson.practise))
    level = LEVELS[lesson.practise[cause]]
    return level, random.choice(faults_for(world, level, cause))


def placeholders(text: str) -> Iterator[str]:
    """Yield what stands in braces in a text, where a number or a look is put.

    >>> list(placeholders("It drops to {volts at rest}, not {sound volts at rest}."))
    ['volts at rest', 'sound volts at rest']
    """
    return (found.group(1) for found in PLACEHOLDER.finditer(text))


def lesson_of(entry: DataEntry) -> Lesson:
    """Make a lesson of an entry with which nothing is wrong."""
    values = entry.values
    return Lesson(
        id=entry.id,
        number=whole(values["number"]),
        title=values["title"],
        why=values["why"],
        cautions=values.get("cautions", ()),
        kind=values["unit"],
        fault=values.get("fault", ""),
        seed=whole(values["seed"]),
        steps=tuple(step_of(name, step) for name, step in values["steps"].items()),
        practise={cause: whole(level) for cause, level in values["practise"].items()},
        origin=entry.origin,
    )


def step_of(name: str, values: Mapping[str, Any]) -> LessonStep:
    """Make a step of what stands under its name."""
    read: Mapping[str, Any] = {"shows": (), "picture": "", **values}
    picture = read["picture"]
    act = read.get("of") or PICTURES.get(picture, "")
    return LessonStep(
        name, read["ask"], dict(read["choices"]), read["right"], read["tell"], read["shows"],
        picture, act,
    )  # fmt: skip


def whole(text: str) -> int:
    """Read a whole number above 0; raises `ValueError` with a sentence."""
    try:
        value = amount(text, UNITS["1"]).si
    except NotAnAmount:
        value = 0.5
    if value < 1 or value != int(value):
        raise ValueError(f"`{excerpt(text)}` is no whole number above 0")
    return int(value)
