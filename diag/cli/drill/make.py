"""`diag drill make`: exercises for a class on the screen or as Markdown, the answers apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from random import Random

from diag.cli.drill.setting import (
    Setting,
    drill_of,
    level_typed,
    new_drill,
    number_typed,
    setting,
)
from diag.cli.guard import WrongUse
from diag.cli.places import path_of
from diag.cli.terminal.progress import progress
from diag.cli.terminal.screen import Screen
from diag.model.phrasing import printable
from diag.model.rulebook import Rulebook
from diag.practice.drill.exercise import Exercise, exercise, faults_for
from diag.practice.drill.hints import BITS_IN_WORDS
from diag.practice.drill.levels import LEVELS, DrillLevel, beside
from diag.practice.drill.spoken import BenchEar, NotHeard

MOST_EXERCISES = 50
DIVIDER = "=" * 72


def run_make(
    *,
    cause: str | None = None,
    level: str | None = None,
    seed: str | None = None,
    count: str | None = None,
    answers: str | None = None,
    markdown: bool = False,
) -> int:
    """Run the command; return the exit code."""
    wanted = LEVELS[1] if level is None else level_typed(level)
    drawn = 1 if seed is None else number_typed(seed, "--seed")
    many = 1 if count is None else number_typed(count, "--count", MOST_EXERCISES)
    if not many:
        raise WrongUse("`--count 0`: give 1 or more")
    of = setting()
    name = None if cause is None else _named(of, cause)
    made = []
    with progress("Making exercises") as done:
        for number in range(1, many + 1):
            made.append(_one(of, wanted, name, seed=drawn, number=number))
            done(number / many)
    page = _Page(of.book, markdown)
    screen = Screen()
    for line in page.exercises(made):
        screen.document(line)
    told = list(page.answers(made))
    if answers is None:
        divider = (
            ("", "---", "") if markdown else ("", DIVIDER, "ANSWERS: keep this page back", DIVIDER)
        )
        for line in (*divider, *told):
            screen.document(line)
    else:
        _write(path_of(answers), told)
        screen.say(f"The answers are in `{answers}`.")
    return 0


def _named(of: Setting, cause: str) -> str:
    try:
        return BenchEar(of.book, of.files).hear(f"repair {cause}").names[0]
    except NotHeard as error:
        raise WrongUse(str(error)) from None


def _one(of: Setting, level: DrillLevel, cause: str | None, *, seed: int, number: int) -> Exercise:
    drawn = (seed, number)
    if cause is None:
        return exercise(of.files, new_drill(of, level, drawn), seed=seed)
    fault = _fault(of, level, cause, Random(f"make {level.number} {seed} {number}"))
    return exercise(of.files, drill_of(of, level, fault, drawn), seed=seed)


def _fault(of: Setting, level: DrillLevel, cause: str, random: Random) -> str:
    """Draw a fault of a level that counts as a cause; `WrongUse` where it has none."""
    faults = faults_for(of.files, level, cause)
    if not faults:
        other = [n for n, each in LEVELS.items() if faults_for(of.files, each, cause)]
        advice = f"take level {other[0]}" if other else "take another cause"
        raise WrongUse(f"level {level.number} has no unit with `{cause}`: {advice}")
    first = random.choice(faults)
    if level.faults == 1:
        return first
    return beside(of.files, level, first, random)


def _write(path: Path, lines: Sequence[str]) -> None:
    path.write_text("".join(f"{printable(line, keep='')}\n" for line in lines), encoding="utf-8")


class _Page:
    """Lays exercises out, as plain text or as Markdown."""

    def __init__(self, book: Rulebook, markdown: bool) -> None:
        self._book, self._markdown = book, markdown

    def exercises(self, made: Sequence[Exercise]) -> Iterator[str]:
        """Yield the lines of the exercises, without their answers."""
        for each in made:
            came = each.arrival
            yield from self._head(f"Exercise {each.number}: {came.tag}")
            yield f"Level {each.level.number}, {each.level.title}; seed {each.seed}. Invented."
            yield ""
            yield f"A {came.what} comes in with its {came.heater}."
            yield f"The owner says: {came.complaint}."
            yield from came.facts
            yield ""
            yield "What do you look at first, and why? What is wrong? What proves your repair?"
            yield from self._head("Readings, to be given on request", 3)
            for check, rows in each.readings:
                yield from self._rows(check, rows)
            yield ""

    def answers(self, made: Sequence[Exercise]) -> Iterator[str]:
        """Yield the lines of the answers."""
        for each in made:
            yield from self._head(f"Answer {each.number}: {each.arrival.tag}")
            if not each.answers:
                yield "Nothing is wrong with this heater."
            for answer in each.answers:
                cause = self._book.causes[answer.cause]
                yield f"{cause.title} ({answer.family}). {cause.explain}"
                yield f"Repair: {' '.join(cause.repair.do)}"
                yield f"Proof: {answer.proof}."
            yield from self._head("What told most", 3)
            yield BITS_IN_WORDS
            for point in each.telling:
                yield self._item(f"{point.heard}: {point}.")
            yield from self._head("The tool's way, with minutes of work", 3)
            for spent, what in each.way:
                yield self._item(f"{spent:.0f} min: {what}")
            yield ""

    def _head(self, text: str, depth: int = 2) -> Iterator[str]:
        if self._markdown:
            yield from (f"{'#' * depth} {text}", "")
        else:
            yield from ("", text, ("-" if depth > 2 else "=") * min(len(text), 38))

    def _item(self, text: str) -> str:
        return f"- {text}"

    def _rows(self, check: str, rows: Sequence[tuple[str, str]]) -> Iterator[str]:
        if not self._markdown:
            yield f"{check}:"
            yield from (f"  - {name}: {value}" for name, value in rows)
            return
        yield from ("", f"| {check} | reads |", "|---|---|")
        yield from (f"| {name} | {value} |" for name, value in rows)
