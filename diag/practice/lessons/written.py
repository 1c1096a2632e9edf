"""Lessons from files: what stands under each key, and all that is wrong with them at once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

from diag.model.amounts import excerpt
from diag.model.problem import DataEntry, DataKey, Problem, ProblemsFound
from diag.model.rulebook import Rulebook
from diag.practice.lessons.lesson import Lesson, lesson_of
from diag.practice.lessons.mistakes import LessonNames
from diag.practice.world import WorldFiles
from diag.rulebook import read_entries

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


def read_lessons(
    folders: Iterable[Path], book: Rulebook, world: WorldFiles, *, drafts: bool = False
) -> Mapping[str, Lesson]:
    """Read the lessons of some folders in the order of their numbers; `drafts` only if wanted.

    Their names are looked up in the rules and in the world. Raises `ProblemsFound` with every
    problem, sorted by place.
    """
    entries = [each for folder in folders for each in _entries(folder, drafts)]
    known = LessonNames(book, world)
    problems = [found for entry in entries for found in known.mistakes(entry)]
    problems += _told_twice(entries)
    if problems:
        raise ProblemsFound(tuple(sorted(problems)))
    lessons = sorted(map(lesson_of, entries), key=lambda lesson: lesson.number)
    return {lesson.id: lesson for lesson in lessons}


def _entries(folder: Path, drafts: bool) -> Iterable[DataEntry]:
    return read_entries(folder, "lessons", TABLE, drafts=drafts).values()


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
