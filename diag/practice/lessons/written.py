"""Lessons from files: what each says, shows, asks and has practised, or what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from diag.model.amounts import NotAnAmount, amount, excerpt
from diag.model.frozen import frozen
from diag.model.origin import Origin
from diag.model.problem import DataEntry, DataKey, Problem, ProblemsFound
from diag.model.problem import Path as Way
from diag.model.quantity import UNITS
from diag.model.rulebook import Rulebook
from diag.practice.levels import LEVELS
from diag.practice.world import WorldFiles
from diag.rulebook import read_entries
from diag.workshop.data.written import near
from diag.workshop.visit import ACTS

PICTURES: Mapping[str, str] = MappingProxyType(
    {"current": "a start", "supply": "a start", "heat": "a full run"}
)
"""The pictures by name, and the act of which each is drawn where a step names none."""
STEP = MappingProxyType(
    {
        "ask": DataKey(required=True),
        "choices": DataKey("rows", required=True),
        "right": DataKey(required=True),
        "tell": DataKey("texts", required=True),
        "shows": DataKey("texts"),
        "picture": DataKey(),
        "of": DataKey(),
    }
)
"""The keys of a step of a lesson."""
TABLE = MappingProxyType(
    {
        "number": DataKey(required=True),
        "title": DataKey(required=True),
        "why": DataKey("texts", required=True),
        "cautions": DataKey("texts"),
        "unit": DataKey(required=True),
        "fault": DataKey(),
        "seed": DataKey(required=True),
        "steps": DataKey("entries", required=True, within=STEP),
        "practise": DataKey("mapping", required=True),
    }
)
"""The keys of a lesson in a file."""
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


def placeholders(text: str) -> Iterator[str]:
    """Yield what stands in braces in a text, where a number or a look is put.

    >>> list(placeholders("It drops to {volts at rest}, not {sound volts at rest}."))
    ['volts at rest', 'sound volts at rest']
    """
    return (found.group(1) for found in PLACEHOLDER.finditer(text))


def read_lessons(
    folders: Iterable[Path], book: Rulebook, world: WorldFiles
) -> Mapping[str, Lesson]:
    """Read the lessons of some folders in the order of their numbers.

    Their names are looked up in the rules and in the world. Raises `ProblemsFound` with every
    problem, sorted by place.
    """
    entries = [each for folder in folders for each in _entries(folder)]
    known = _Names(book, world)
    problems = [found for entry in entries for found in known.mistakes(entry)]
    problems += _told_twice(entries)
    if problems:
        raise ProblemsFound(tuple(sorted(problems)))
    lessons = sorted(map(_lesson, entries), key=lambda lesson: lesson.number)
    return {lesson.id: lesson for lesson in lessons}


def _entries(folder: Path) -> Iterable[DataEntry]:
    return read_entries(folder, "lessons", TABLE).values()


def _lesson(entry: DataEntry) -> Lesson:
    values = entry.values
    return Lesson(
        id=entry.id,
        number=_whole(values["number"]),
        title=values["title"],
        why=values["why"],
        cautions=values.get("cautions", ()),
        kind=values["unit"],
        fault=values.get("fault", ""),
        seed=_whole(values["seed"]),
        steps=tuple(_step(name, step) for name, step in values["steps"].items()),
        practise={cause: _whole(level) for cause, level in values["practise"].items()},
        origin=entry.origin,
    )


def _step(name: str, values: Mapping[str, Any]) -> LessonStep:
    read: Mapping[str, Any] = {"shows": (), "picture": "", **values}
    picture = read["picture"]
    act = read.get("of") or PICTURES.get(picture, "")
    return LessonStep(
        name, read["ask"], dict(read["choices"]), read["right"], read["tell"], read["shows"],
        picture, act,
    )  # fmt: skip


def _whole(text: str) -> int:
    """Read a whole number above 0; raises `ValueError` with a sentence."""
    try:
        value = amount(text, UNITS["1"]).si
    except NotAnAmount:
        value = 0.5
    if value < 1 or value != int(value):
        raise ValueError(f"`{excerpt(text)}` is no whole number above 0")
    return int(value)


def _told_twice(entries: Collection[DataEntry]) -> Iterator[Problem]:
    """Yield lessons of one name, or of one number."""
    names, numbers = dict[str, DataEntry](), dict[str, DataEntry]()
    for entry in entries:
        number = entry.values["number"]
        if names.setdefault(entry.id, entry) is not entry:
            yield entry.problem((), f"there is a lesson `{entry.id}` already", "give it another id")
        elif numbers.setdefault(number, entry) is not entry:
            message = f"`{numbers[number].id}` has the number {excerpt(number)} already"
            yield entry.problem(("number",), message, "give each lesson a number of its own")


class _Names:
    """The names that a lesson may use, and what is wrong with one that uses others."""

    def __init__(self, book: Rulebook, world: WorldFiles) -> None:
        self._book, self._world = book, world
        self._read = book.findings.keys() & world.findings.keys()
        truths = (truth for fault in world.faults.values() for truth in fault.truths)
        self._made = frozenset[str]().union(*truths)

    def mistakes(self, entry: DataEntry) -> Iterator[Problem]:
        """Yield what is wrong with one lesson."""
        values, world = entry.values, self._world
        yield from _unknown(entry, ("unit",), "class of units", values["unit"], world.units)
        if "fault" in values:
            yield from self._fault_mistakes(entry)
        for number, name in enumerate(values.get("cautions", ())):
            yield from _unknown(entry, ("cautions", number), "caution", name, self._book.cautions)
        yield from _no_whole(entry, ("number",), values["number"])
        yield from _no_whole(entry, ("seed",), values["seed"])
        yield from self._practice_mistakes(entry)
        for number, text in enumerate(values["why"]):
            yield from self._misplaced(entry, ("why", number), text)
        if not values["steps"]:
            yield entry.problem(("steps",), "this lesson has no step", "add one with its question")
        for name, step in values["steps"].items():
            yield from self._step_mistakes(entry, ("steps", name), step)

    def _fault_mistakes(self, entry: DataEntry) -> Iterator[Problem]:
        fault, kind = entry.values["fault"], entry.values["unit"]
        yield from _unknown(entry, ("fault",), "fault", fault, self._world.faults)
        found = self._world.faults.get(fault)
        if found is not None and found.classes and kind not in found.classes:
            message = f"`{excerpt(fault)}` is no fault of a {excerpt(kind)}"
            yield entry.problem(("fault",), message, f"it is one of {', '.join(found.classes)}")

    def _practice_mistakes(self, entry: DataEntry) -> Iterator[Problem]:
        for cause, level in entry.values["practise"].items():
            way: Way = ("practise", cause)
            yield from _unknown(entry, way, "cause", cause, self._book.causes)
            if cause in self._book.causes and cause not in self._made:
                yield entry.problem(way, f"no fault of the world is `{excerpt(cause)}`")
            wrong = list(_no_whole(entry, way, level))
            yield from wrong
            if not wrong and _whole(level) not in LEVELS:
                known = ", ".join(map(str, LEVELS))
                yield entry.problem(way, f"there is no level {excerpt(level)}: expected {known}")

    def _step_mistakes(
        self, entry: DataEntry, way: Way, step: Mapping[str, object]
    ) -> Iterator[Problem]:
        made = _step(str(way[-1]), step)
        if len(made.choices) < 2:
            yield entry.problem((*way, "choices"), "a question needs two answers or more")
        if made.right not in made.choices:
            message = f"`{excerpt(made.right)}` is none of the choices"
            advice = near(made.right, made.choices) or "write one of them just as it stands there"
            yield entry.problem((*way, "right"), message, advice)
        for number, name in enumerate(made.shows):
            yield from _unknown(
                entry, (*way, "shows", number), "finding that the world reads", name, self._read
            )
        if "picture" in step:
            yield from _unknown(entry, (*way, "picture"), "picture", made.picture, PICTURES)
        if "of" in step:
            yield from _unknown(entry, (*way, "of"), "act", made.act, ACTS)
        for number, text in enumerate(made.tell):
            yield from self._misplaced(entry, (*way, "tell", number), text)
        for number, (choice, text) in enumerate(made.choices.items()):
            yield from self._misplaced(entry, (*way, "choices", number, choice), text)
        yield from self._misplaced(entry, (*way, "ask"), made.ask)

    def _misplaced(self, entry: DataEntry, way: Way, text: str) -> Iterator[Problem]:
        """Yield placeholders for which nothing is put."""
        kind = entry.values["unit"]
        data = self._book.units[kind].data if kind in self._book.units else {}
        told = {*self._read, *self._book.thresholds, *(f"unit {name}" for name in data)}
        for name in placeholders(text):
            if name.removeprefix(WITHOUT_FAULT) not in told or (
                name.startswith(WITHOUT_FAULT)
                and name.removeprefix(WITHOUT_FAULT) not in self._read
            ):
                message = f"there is nothing to put for `{excerpt(name)}` in braces"
                yield entry.problem(way, message, near(name, told))


def _unknown(
    entry: DataEntry, way: Way, what: str, name: str, known: Collection[str]
) -> Iterator[Problem]:
    if name not in known:
        yield entry.problem(way, f"there is no {what} `{excerpt(name)}`", near(name, known))


def _no_whole(entry: DataEntry, way: Way, text: str) -> Iterator[Problem]:
    try:
        _whole(text)
    except ValueError as error:
        yield entry.problem(way, str(error))
