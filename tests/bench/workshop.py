"""The judge from outside: sessions on units that obey physics, counted by fault.

Run by hand: `python -m tests.bench.workshop [--units 400] [--seed 1] [--by session]`; `--by` is
`session`, `greedy`, `repairs` or `sheet`. `--laws` puts all readings of units without slips before
the rules instead, and counts what these call impossible, or unsound of a sound unit. Two processes
share the work. Seeds below 1,000 are for tuning: what is told of the rules comes from others.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache, partial
from math import sqrt
from statistics import mean

from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.rulebook import Rulebook
from diag.reason.plan.costs import minutes_of
from diag.rulebook import load_cases
from diag.session.compiled_rulebook import CompiledRulebook
from tests.bench.judged.laws import Broken, broken_by
from tests.bench.judged.player import Played, play
from tests.bench.judged.rivals import RIVALS
from tests.bench.judged.slips import KINDS, PlantedSlips
from tests.bench.judged.units import NOTHING, draw
from tests.bench.judged.wilson import wilson

PROCESSES = 2


@cache
def _book() -> tuple[Rulebook, dict[str, CompiledRulebook]]:
    book = load_book()
    return book, {name: CompiledRulebook.of(book, unit) for name, unit in book.units.items()}


def _played(seed: int, by: str, only: str, number: int) -> Played:
    book, compiled = _book()
    unit = draw(seed, number, only=only)
    return play(book, unit, compiled[unit.kind], RIVALS[by])


def _law(seed: int, only: str, number: int) -> Broken:
    book, compiled = _book()
    return broken_by(seed, range(number, number + 1), book, compiled, only)


@dataclass(frozen=True, slots=True)
class Row:
    """Hold a line of the table: the mean of some sessions."""

    title: str
    runs: Sequence[Played]

    def __str__(self) -> str:
        runs, n = self.runs, len(self.runs)
        first = sum(r.right_first for r in runs)
        share, wide = first / n, 1.96 * sqrt(first * (n - first) / n**3)
        found = sum(r.all_found for r in runs) if runs[0].truths else 0
        cells = [
            f"{100 * share:4.0f} +-{100 * wide:3.0f}", f"{100 * found / n:6.0f}",
            f"{mean(r.minutes for r in runs):8.0f}",
            _mean_of(r.to_the_right for r in runs), _mean_of(map(path_minutes, runs)),
            f"{mean(r.starts for r in runs):7.1f}",
            f"{sum(len(r.missed) for r in runs):7}", f"{sum(len(r.forbidden) for r in runs):6}",
            f"{mean(r.parts_in_vain for r in runs):6.0f}", f"{sum(r.untrue for r in runs):7}",
            f"{sum(len(r.impossible) for r in runs):5}", f"{sum(not r.mended for r in runs):7}",
        ]  # fmt: skip
        return f"{self.title:42}{n:5} " + "".join(cells)


def _mean_of(minutes: Iterable[float | None]) -> str:
    known = [each for each in minutes if each is not None]
    return f"{mean(known):8.0f}" if known else f"{'-':>8}"


def path_minutes(run: Played) -> float | None:
    """Return the minutes of a worked case's own path to what is wrong, and of its repair."""
    if len(run.truths) != 1:
        return None
    book, paths = _book()[0], _paths()
    found = [
        minutes_of(book, paths[cause]) + book.causes[cause].repair.minutes
        for cause in run.truths[0]
        if cause in paths
    ]
    return min(found, default=None)


@cache
def _paths() -> dict[str, tuple[str, ...]]:
    """Return the shortest path that a worked case lists for each cause alone."""
    book = _book()[0]
    cases = load_cases(shipped_rules() / "cases", book)
    told = [case for case in cases if case.path and len(case.truth) == 1 and not case.wrong]
    longest_first = sorted(told, key=lambda case: -minutes_of(book, case.path))
    return {case.truth[0]: case.path for case in longest_first}


HEAD = (
    f"{'fault':42}{'units':>5}  first, %    all, %  minutes toright   path  starts missed forbid "
    "in vain untrue  odd  unmended"
)
"""`first`: the first repair was right (a sound unit: called sound); `all`: all wrong was named;
`toright`: minutes until it was; `path`: those of a worked case's own path and repair; `vain`: parts
bought in vain, in minutes; `untrue`: endings that say too much; `odd`: `cannot be` that fired;
`unmended`: units that went with a fault."""


def rows(runs: Sequence[Played]) -> Iterator[Row]:
    """Yield the lines of the table: by fault, then one, two, none, and all."""
    for fault in sorted({run.fault for run in runs}):
        yield Row(fault, [run for run in runs if run.fault == fault])
    for count, title in ((0, "sound"), (1, "ONE FAULT"), (2, "TWO FAULTS")):
        some = [run for run in runs if len(run.truths) == count]
        if some and count:
            yield Row(title, some)
    yield Row("ALL", runs)


def main() -> None:
    """Draw, play, and print the table as it stands."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--units", type=int, default=400)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--by", choices=RIVALS, default="session")
    parser.add_argument("--only", default="", help=f"a fault by name, or `{NOTHING}`")
    parser.add_argument("--laws", action="store_true")
    given = parser.parse_args()
    numbers = range(given.first, given.first + given.units)
    with ProcessPoolExecutor(PROCESSES) as pool:
        if given.laws:
            told = Broken()
            for one in pool.map(partial(_law, given.seed, given.only), numbers):
                told.add(one)
            print_laws(told)
            return
        todo = partial(_played, given.seed, given.by, given.only)
        runs = []
        for run in pool.map(todo, numbers):
            runs.append(run)
            print(
                f"{run.unit} {run.kind} | {run.fault} | {run.complaint} | "
                f"{', '.join(run.proposed)} | {run.ending} | {run.minutes:.0f} min"
                f"{' | missed ' + ', '.join(sorted(run.missed)) if run.missed else ''}"
                f"{' | odd ' + ', '.join(run.impossible) if run.impossible else ''}",
                flush=True,
            )
    print(f"\n{given.units} units, seed {given.seed}, by {given.by}, full tools\n{HEAD}")
    for row in rows(runs):
        print(row)


def print_slips(slips: PlantedSlips) -> None:
    """Print how many planted slips broke a law of physics, and how many of these were named."""
    total = sum(slips.breaking.values())
    print(f"{'planted slip':18}{'planted':>9}{'breaking':>10}{'named':>8}   named of breaking, %")
    rows = [(k, slips.planted[k], slips.breaking[k], slips.named[k]) for k in KINDS]
    for kind, planted, breaking, named in (
        *rows, ("ALL", slips.planted.total(), total, slips.named.total())
    ):  # fmt: skip
        low, high = wilson(named, breaking)
        print(f"{kind:18}{planted:9}{breaking:10}{named:8}   {100 * low:4.1f} to {100 * high:4.1f}")
    for (kind, law), count in slips.unnamed.most_common(20):
        print(f"  not named: {count:5} {kind}: {law}")
    for law, count in slips.clean.items():
        print(f"  broken without a slip: {count:5} {law}")


def print_laws(told: Broken) -> None:
    """Print what was impossible and what unsound, by how often, each with an example."""
    print(f"{told.units} units")
    for title, counts in (
        ("cannot be", told.impossible), ("sign of a sound unit", told.unsound),
        ("danger of a sound unit", told.dangers),
    ):  # fmt: skip
        print(f"{title}: {sum(counts.values())}")
        for what, count in sorted(counts.items(), key=lambda item: -item[1]):
            print(f"  {count:5} {what} e.g. {told.examples[str(what)]}")
    print_slips(told.slips)


if __name__ == "__main__":
    main()
