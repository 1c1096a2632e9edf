"""What is wrong with a lesson as written: names that there are not, and questions that fail."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from diag.model.amounts import excerpt
from diag.model.problem import DataEntry, Problem
from diag.model.problem import Path as Way
from diag.model.rulebook import Rulebook
from diag.practice.drill.exercise import faults_for
from diag.practice.drill.levels import LEVELS
from diag.practice.lessons.lesson import (
    PICTURES,
    WITHOUT_FAULT,
    placeholders,
    step_of,
    whole,
)
from diag.practice.world import WorldFiles
from diag.workshop.data.written import near
from diag.workshop.visit import ACTS

FEW = 6
"""So many names are told all, where none is near."""


class LessonNames:
    """The names that a lesson may use, and what is wrong with one that uses others."""

    def __init__(self, book: Rulebook, world: WorldFiles) -> None:
        self._book, self._world = book, world
        self._read = book.findings.keys() & world.findings.keys()

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
            wrong = list(_no_whole(entry, way, level))
            yield from wrong
            if not wrong and whole(level) not in LEVELS:
                known = ", ".join(map(str, LEVELS))
                yield entry.problem(way, f"there is no level {excerpt(level)}: expected {known}")
            elif not wrong and cause in self._book.causes:
                yield from self._undrawn(entry, way, cause, whole(level))

    def _undrawn(self, entry: DataEntry, way: Way, cause: str, level: int) -> Iterator[Problem]:
        """Yield a cause of which no unit is drawn at a level."""
        if not faults_for(self._world, LEVELS[level], cause):
            faults = (n for n, each in LEVELS.items() if faults_for(self._world, each, cause))
            advice = ", ".join(map(str, faults))
            message = f"level {level} draws no unit with `{excerpt(cause)}`"
            yield entry.problem(
                way, message, f"level {advice} does" if advice else "take another cause"
            )

    def _step_mistakes(
        self, entry: DataEntry, way: Way, step: Mapping[str, object]
    ) -> Iterator[Problem]:
        made = step_of(str(way[-1]), step)
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
        few = f"known are {', '.join(sorted(known))}" if len(known) <= FEW else ""
        advice = near(name, known) or few
        yield entry.problem(way, f"there is no {what} `{excerpt(name)}`", advice)


def _no_whole(entry: DataEntry, way: Way, text: str) -> Iterator[Problem]:
    try:
        whole(text)
    except ValueError as error:
        yield entry.problem(way, str(error))
