"""What a drill is made of: the rules, the world's files, and the drill itself from a stored row."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType

from diag.cli.book import lesson_folders, load_book, named
from diag.cli.guard import WrongUse
from diag.cli.places import shipped_rules, user_rules
from diag.cli.terminal.progress import patience
from diag.model.amounts import excerpt
from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.practice.drill.drill import Drill
from diag.practice.drill.levels import LEVELS, DrillLevel, drill_unit, level_of, new_drill_unit
from diag.practice.drill.owner import arrival
from diag.practice.lessons.lesson import Lesson
from diag.practice.lessons.written import read_lessons
from diag.practice.units import PracticeUnit
from diag.practice.world import WorldFiles, read_world
from diag.rulebook.yaml.source import WORLD
from diag.session.compiled_rulebook import CompiledRulebook
from diag.store import StoreError
from diag.store.drills import DrillRow
from diag.workshop import WorkshopError

MOST_SEED = 10**9


@frozen
class Setting:
    """The rules and the world that drills are drawn from."""

    book: Rulebook
    files: WorldFiles
    fingerprint: str
    """Of both; a drill that was begun with another may come out differently."""


def setting() -> Setting:
    """Read the rules, the user's own on top, and the world; raises `ProblemsFound`."""
    book, folder = load_book(), shipped_rules() / WORLD
    return Setting(book, read_world(folder), fingerprint(book, folder.rglob("*.yaml")))


def lessons_of(of: Setting) -> Mapping[str, Lesson]:
    """Read the lessons, the user's own beside the shipped; raises `ProblemsFound`."""
    return read_lessons(lesson_folders((shipped_rules(), user_rules())), of.book, of.files)


def lesson_named(lessons: Mapping[str, Lesson], name: str) -> Lesson:
    """Return the lesson of that name or number; `WrongUse` with the nearest names."""
    for lesson in lessons.values():
        if name.strip() == str(lesson.number):
            return lesson
    return lessons[named("lesson", name, lessons)]


def fingerprint(book: Rulebook, files: Iterable[Path]) -> str:
    """Return the fingerprint of rules and of files of the world."""
    found = hashlib.sha256(book.hash.encode())
    for path in sorted(files):
        found.update(path.read_bytes())
    return found.hexdigest()[:16]


def drill_of(of: Setting, level: DrillLevel, fault: str, drawn: tuple[int, int]) -> Drill:
    """Return a drill with a fault at its beginning."""
    with patience("Making the unit"):
        unit = drill_unit(of.files, of.book, level, fault, drawn=drawn)
        return _with(of, level, unit, drawn)


def new_drill(
    of: Setting,
    level: DrillLevel,
    drawn: tuple[int, int],
    weak: Mapping[str, float] = MappingProxyType({}),
) -> Drill:
    """Return a drill at its beginning, its fault drawn; families more often as they are `weak`."""
    with patience("Drawing a fault"):
        unit = new_drill_unit(of.files, of.book, level, drawn=drawn, weak=weak)
        return _with(of, level, unit, drawn)


def _with(of: Setting, level: DrillLevel, unit: PracticeUnit, drawn: tuple[int, int]) -> Drill:
    compiled = CompiledRulebook.of(of.book, of.book.units[unit.kind])
    return Drill(of.book, compiled, unit, level, arrival(of.book, unit, seed=drawn[0]))


def stored_drill(of: Setting, row: DrillRow) -> Drill:
    """Return a stored drill at its beginning; `StoreError` where these rules have it no more."""
    try:
        return drill_of(of, LEVELS[row.level], row.fault, (row.seed, row.number))
    except (KeyError, ValueError, WorkshopError):
        raise StoreError(
            f"drill `{row.id}` cannot go on, as the rules have changed and its unit is not in "
            "them any more: begin another with `diag drill --new`; what was done in it is kept"
        ) from None


def level_typed(text: str) -> DrillLevel:
    """Return the level that was typed; `WrongUse` for one that there is not."""
    try:
        return level_of(text)
    except ValueError as error:
        raise WrongUse(str(error)) from None


def number_typed(text: str, name: str, most: int = MOST_SEED) -> int:
    """Return a whole number that was typed; `WrongUse` for anything else."""
    bare = text.strip()
    if not (bare.isascii() and bare.isdecimal() and int(bare[:12]) <= most):
        raise WrongUse(f"`{name} {excerpt(text)}`: give a whole number from 0 to {most}")
    return int(bare[:12])
