"""What people read off at the bench with its meter's error, and the figures made from it."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from textwrap import fill
from typing import TypeVar

from diag.cli.bench.amounts import read_amount, read_error
from diag.cli.guard import WrongUse, say
from diag.physics.errors import above
from diag.physics.uncertainty import error_budget, margin_verdict

NO_ERROR = "0 %"
Ask = Callable[[str], str]
Told = TypeVar("Told")


@dataclass(frozen=True, slots=True)
class Wanted:
    """One reading that a command can use: option, name, unit, its meter's usual error.

    `question` asks for it, `again` says how to take it better; with `most`, the value lies above
    0 and not above that. The usual errors are common
    practice, no source; a reading may carry its own, as in `12.5 m/s +- 2 %`.
    """

    option: str
    name: str
    unit: str
    question: str = ""
    error: str = NO_ERROR
    again: str = ""
    read: Callable[[str, str, str], float] = read_amount
    most: float | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """A value and the half-width of what it may be out by, in its unit."""

    name: str
    value: float
    error: float
    unit: str
    error_assumed: bool = True
    again: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number made from readings: its error, how it was made, whose formula it is.

    `shares` is each reading's part in the square of the error, greatest first.
    """

    name: str
    value: float
    error: float
    unit: str
    how: str
    source: str
    shares: tuple[tuple[str, float], ...] = ()

    def reading(self, again: str = "") -> Reading:
        """Return the figure as a reading for the next sum."""
        return Reading(self.name, self.value, self.error, self.unit, again=again)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said about one thing: the verdict, the sentence, the reading that blurs it most."""

    about: str
    verdict: str
    sentence: str
    weakest: str | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """Readings that belong together, and what can be said when all are there."""

    says: str
    wanted: tuple[Wanted, ...]

    def lacking(self, answers: Mapping[str, str]) -> tuple[Wanted, ...]:
        """Return the readings that are not there yet."""
        return tuple(each for each in self.wanted if each.option not in answers)


def read(wanted: Wanted, text: str) -> Reading:
    """Read a typed value, with its own error after `+-` or else its meter's usual one.

    Raises `ValueError` with one sentence for what cannot be read.

    >>> got = read(Wanted("speed", "air speed", "m/s"), "12,5 m/s +- 2 %")
    >>> got.value, got.error
    (12.5, 0.25)
    """
    typed, mark, error = text.replace("±", "+-").partition("+-")
    value = wanted.read(wanted.name, typed, wanted.unit)
    if wanted.most is not None:
        above(wanted.name, value, wanted.unit, wanted.most)
    half = _half_width(wanted, error if mark else wanted.error, value)
    return Reading(wanted.name, value, half, wanted.unit, not mark, wanted.again)


def _half_width(wanted: Wanted, text: str, value: float) -> float:
    unit = wanted.unit
    if unit == "C":  # an error is a difference, and people write `1 C` for it
        text, unit = re.sub("°?C", "K", text), "K"
    if unit == "%":  # an error of 0.3 % on a gas reading is in points, not a part of it
        text = text.replace("%", "")
    return read_error(f"error of {wanted.name}", text, unit, value)


def figure(
    name: str,
    unit: str,
    compute: Callable[..., float],
    readings: Sequence[Reading],
    how: str,
    source: str,
) -> Figure:
    """Compute a figure from readings and carry their errors to first order (JCGM 100:2008).

    >>> ohm = figure("resistance", "ohm", lambda v, a: v / a, (
    ...     Reading("drop", 0.8, 0.08, "V"), Reading("current", 10.0, 0.0, "A")), "", "Ohm's law")
    >>> round(ohm.value, 3), round(ohm.error, 4)
    (0.08, 0.008)
    """
    values = [r.value for r in readings]
    compute(*values)  # so that a value that cannot be is refused in the formula's own words
    budget = error_budget(compute, values, [r.error for r in readings])
    shares = []
    if budget.error > 0:
        for reading, part in zip(readings, budget.contributions, strict=True):
            shares.append((reading.name, (part / budget.error) ** 2))
    ranked = tuple(sorted((s for s in shares if s[1] > 0), key=lambda share: -round(share[1], 9)))
    return Figure(name, budget.value, budget.error, unit, how, source, ranked)


def judge(margin: Figure) -> str:
    """Return `clear yes`, `clear no`, or `cannot tell` when the margin is inside its error."""
    return margin_verdict(margin.value, margin.error)


def weakest(of: Figure) -> str | None:
    """Return the name of the reading that blurs a figure most."""
    return of.shares[0][0] if of.shares else None


def improve(of: Figure, readings: Sequence[Reading]) -> str:
    """Say which reading to improve, and how.

    >>> blurred = Figure("drop", 1.0, 0.1, "V", "", "", (("volts", 1.0),))
    >>> improve(blurred, [Reading("volts", 1.0, 0.1, "V", again="with a finer range")])
    'take `volts` again, with a finer range'
    """
    name = weakest(of)
    again = next((r.again for r in readings if r.name == name and r.again), "more carefully")
    return f"take `{name}` again, {again}"


def asker(as_json: bool, ask: Ask | None) -> Ask | None:
    """Return what asks the person, or nothing when nobody is at a terminal."""
    if ask is None and not as_json and sys.stdin.isatty() and sys.stdout.isatty():
        return input
    return ask


def settle(
    groups: Sequence[Group],
    answers: Mapping[str, str],
    ask: Ask | None,
    cautions: Sequence[str] = (),
) -> tuple[dict[str, str], tuple[Group, ...], tuple[str, ...]]:
    """Ask for what is missing and return answers, complete groups, and what more would tell.

    Groups that were begun are finished; when none was, each is offered. Cautions come before the
    first question. Raises `WrongUse` when
    no group is complete.
    """
    full = dict(answers)
    begun = [g for g in groups if len(g.lacking(full)) < len(g.wanted)]
    if ask is not None and not any(not g.lacking(full) for g in groups):
        print("".join(f"caution: {fill(each, 70)}\n" for each in cautions), end="")
        refused: set[str] = set()
        for group in begun or groups:
            if not refused & {each.option for each in group.lacking(full)}:
                refused |= _finish(group, full, ask)
    complete = tuple(g for g in groups if not g.lacking(full))
    rest = [g for g in groups if g.lacking(full)]
    if not complete:
        also = [_with(g, full, "could say") for g in (begun or rest)]
        raise WrongUse("; ".join(also))
    return full, complete, tuple(_with(g, full, "could also say") for g in rest)


def mended(
    tell: Callable[[Mapping[str, str]], Told],
    answers: dict[str, str],
    groups: Sequence[Group],
    ask: Ask | None,
) -> Told:
    """Return what `tell` makes of the answers; at a terminal a refused reading is asked again.

    Nothing else that was entered is lost. Raises `ValueError` when nobody can be asked.
    """
    while True:
        try:
            return tell(answers)
        except ValueError as error:
            wanted = _refused(str(error), groups, answers)
            if ask is None or wanted is None:
                raise
            say(str(error))
            text = answer(wanted, ask)
            if not text:
                raise
            answers[wanted.option] = text


def _refused(message: str, groups: Sequence[Group], answers: Mapping[str, str]) -> Wanted | None:
    """Return the reading that a refusal names first."""
    named = message.removeprefix("`").partition("`")[0]
    asked = [each for group in groups for each in group.wanted if each.option in answers]
    exact = [each for each in asked if each.name == named]
    return next(iter([*exact, *(each for each in asked if each.name in named)]), None)


def _with(group: Group, answers: Mapping[str, str], could: str) -> str:
    names = [f"`--{each.option}`" for each in group.lacking(answers)]
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    as_well = " as well" if answers else ""
    return f"with {listed}{as_well} I {could} {group.says}"


def _finish(group: Group, answers: dict[str, str], ask: Ask) -> set[str]:
    """Ask for a group's readings until all are there; return the one skipped with Enter."""
    lacking = group.lacking(answers)
    if lacking:
        print(f"For {group.says} (Enter leaves it out):")
    for wanted in lacking:
        text = answer(wanted, ask)
        if not text:
            return {wanted.option}
        answers[wanted.option] = text
    return set()


def answer(wanted: Wanted, ask: Ask) -> str:
    """Ask one question until its answer can be read; Enter alone skips it."""
    unit = "" if wanted.unit == "1" else f" [{wanted.unit}]"
    while True:
        text = ask(f"{wanted.question}{unit} ").strip()
        if not text:
            return ""
        try:
            read(wanted, text)
        except ValueError as error:
            say(str(error))
        else:
            return text
