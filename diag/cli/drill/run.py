"""`diag drill`: begin a drill or go on with the open one, and look back on it at its end."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from contextlib import closing
from random import Random

from diag.cli.drill.after import look_back
from diag.cli.drill.bench_talk import GIVEN_UP, LEFT, BenchTalk, show_arrival, show_outcome
from diag.cli.drill.setting import (
    Setting,
    drill_of,
    lesson_named,
    lessons_of,
    level_typed,
    new_drill,
    number_typed,
    setting,
    stored_drill,
)
from diag.cli.guard import WrongUse
from diag.cli.stored import open_own_store
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source, source_of
from diag.practice.drill.deeds import Deed, as_payload, deed_from
from diag.practice.drill.drill import Drill
from diag.practice.drill.levels import DrillLevel, next_level
from diag.practice.drill.marks import is_right, weaknesses
from diag.practice.lessons.lesson import Lesson, practised
from diag.store.drills import DrillMark, DrillRow, Drills

MOST_SEEDS = 10**6


def run_drill(
    *,
    level: str | None = None,
    seed: str | None = None,
    lesson: str | None = None,
    new: bool = False,
    plain: bool = False,
) -> int:
    """Run the command; return the exit code."""
    screen = Screen(plain=plain)
    wanted = None if level is None else level_typed(level)
    number = None if seed is None else number_typed(seed, "--seed")
    if lesson is not None and wanted is not None:
        raise WrongUse("a lesson has its own levels: leave out `--level` or `--lesson`")
    of = setting()
    taught = None if lesson is None else lesson_named(lessons_of(of), lesson)
    source = source_of(screen)
    with closing(open_own_store()) as store:
        drills = Drills(store)
        rows = drills.drills(open_only=True)
        named = wanted is not None or number is not None or taught is not None
        another = new or named or not rows
        row, drill = (
            begun(of, drills, wanted, number, taught)
            if another
            else (rows[0], stored_drill(of, rows[0]))
        )
        while _talk(of, drills, row, drill, screen=screen, source=source) == GIVEN_UP:
            row, drill = begun(of, drills, wanted, None, taught)
    return 0


def begun(
    of: Setting,
    drills: Drills,
    level: DrillLevel | None,
    seed: int | None,
    lesson: Lesson | None = None,
) -> tuple[DrillRow, Drill]:
    """Begin a drill, by what the learner is weak at unless a seed or lesson says; return its row.

    With a lesson it is one of the causes that it has practised, at the level that it says.
    """
    marks, rows = drills.marks(), drills.drills()
    level = level or next_level(_history(rows, marks))
    drawn = (secrets.randbelow(MOST_SEEDS), len(rows) + 1) if seed is None else (seed, 1)
    weak = weaknesses(_by_family(marks), of.book.areas) if seed is None else {}
    if lesson is None:
        drill = new_drill(of, level, drawn, weak)
    else:
        level, fault = practised(lesson, of.files, Random(f"lesson {drawn[0]} {drawn[1]}"))
        drill = drill_of(of, level, fault, drawn)
    unit = drill.unit
    name = drills.create(level.number, unit.kind, unit.fault, drawn=drawn, rules=of.fingerprint)
    return drills.drill(name), drill


def _history(rows: Sequence[DrillRow], marks: Sequence[DrillMark]) -> tuple[tuple[int, float], ...]:
    levels = {row.id: row.level for row in rows}
    return tuple((levels[mark.drill], mark.points) for mark in marks if mark.drill in levels)


def _by_family(marks: Sequence[DrillMark]) -> dict[str, list[float]]:
    found: dict[str, list[float]] = {}
    for mark in marks:
        found.setdefault(mark.family, []).append(mark.points)
    return found


def _talk(
    of: Setting, drills: Drills, row: DrillRow, drill: Drill, *, screen: Screen, source: Source
) -> str:
    """Go on with a drill until it is left or over; what is done is kept before it is told."""
    with drills.lock(row.id):

        def record(deed: Deed) -> None:
            drills.append(row.id, deed.kind, as_payload(deed))

        ended = LEFT
        try:
            show_arrival(screen, row.id, drill)
            _replay(of, drills, row, drill, screen)
            if not drill.ended:
                ended = BenchTalk(of, drill, record, screen, source).run()
            if drill.ended:
                marks = look_back(of, drill, screen, seed=row.seed)
                how = "right" if is_right(drill) else "wrong"
                drills.end(row.id, how, [(each.family, each.cause, each.points) for each in marks])
                return how
        except KeyboardInterrupt:
            pass
        if ended == GIVEN_UP:
            drills.end(row.id, GIVEN_UP)
            screen.say(f"Drill {row.id} is given up.")
        else:
            screen.say(f"Drill {row.id} is kept. Go on with: diag drill")
        return ended


def _replay(of: Setting, drills: Drills, row: DrillRow, drill: Drill, screen: Screen) -> None:
    """Do again what was done before, and say how it stands."""
    acts = drills.acts(row.id)
    if row.rules != of.fingerprint:
        screen.say(
            "The rules have changed since this drill began. It goes on as far as what was done can "
            "be done again, and may come out otherwise; `new` gives it up and begins another."
        )
    with progress("Doing again what was done") as done:
        for at, act in enumerate(acts):
            done(at / len(acts))
            deed = deed_from(act.kind, act.payload)
            if deed is None or drill.unknown(deed):
                screen.say(f"Entry {act.number} says nothing to these rules: it is left out.")
            elif not drill.ended:
                drill.do(deed)
    if drill.steps:
        step = drill.steps[-1]
        many = f"{len(drill.steps)} things were" if len(drill.steps) > 1 else "one thing was"
        screen.say(f"So far {many} done; `notes` lists the readings. The last:")
        show_outcome(screen, drill, step.outcome)
