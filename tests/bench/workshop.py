"""The judge from outside: sessions on units that obey physics, counted by fault.

Run by hand: `python -m tests.bench.workshop [--units 400] [--seed 1] [--by session]`; `--by` is
`session`, `greedy`, `repairs` or `sheet`; `--with workshop|vehicle|bench|phone` says what places
and tools there are. `--laws` puts all readings of units without slips before
the rules instead, and counts what these call impossible, or unsound of a sound unit. Two processes
share the work. Seeds below 1,000 are for tuning: what is told of the rules comes from others.
"""

from __future__ import annotations

import argparse
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial

from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.rulebook import Rulebook
from diag.practice.player import Played, play
from diag.practice.units import SOUND_UNIT, draw_unit
from diag.reason.plan.costs import minutes_of
from diag.rulebook import load_cases
from diag.session.compiled_rulebook import CompiledRulebook
from tests.bench.judged.laws import Broken, broken_by
from tests.bench.judged.profiles import PROFILES, at_hand, comes_there
from tests.bench.judged.rivals import RIVALS
from tests.bench.judged.slips import KINDS, PlantedSlips
from tests.bench.judged.table import HEAD, line, rows
from tests.bench.judged.wilson import wilson
from tests.workshop.shipped import shipped_world

PROCESSES = 2


@cache
def _book() -> tuple[Rulebook, dict[str, CompiledRulebook]]:
    book = load_book()
    return book, {name: CompiledRulebook.of(book, unit) for name, unit in book.units.items()}


def _played(seed: int, by: str, profile: str, only: str, number: int) -> Played | None:
    book, compiled = _book()
    unit = draw_unit(shipped_world(), seed, number, only=only)
    if not comes_there(profile, book, unit.truths):
        return None
    return play(book, unit, compiled[unit.kind], RIVALS[by], at_hand(profile, book))


def _law(seed: int, only: str, number: int) -> Broken:
    book, compiled = _book()
    return broken_by(seed, range(number, number + 1), book, compiled, only)


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


def main() -> None:
    """Draw, play, and print the table as it stands."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--units", type=int, default=400)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--by", choices=RIVALS, default="session")
    parser.add_argument("--with", choices=PROFILES, default="workshop", dest="profile")
    parser.add_argument("--only", default="", help=f"a fault by name, or `{SOUND_UNIT}`")
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
        todo = partial(_played, given.seed, given.by, given.profile, given.only)
        runs = []
        for run in filter(None, pool.map(todo, numbers)):
            runs.append(run)
            print(
                f"{run.unit} {run.kind} | {run.fault} | {run.complaint} | "
                f"{', '.join(run.proposed)} | {run.ending} | {run.minutes:.0f} min"
                f"{' | missed ' + ', '.join(sorted(run.missed)) if run.missed else ''}"
                f"{' | odd ' + ', '.join(run.impossible) if run.impossible else ''}",
                flush=True,
            )
    print(f"\n{len(runs)} units, seed {given.seed}, by {given.by}, with {given.profile}\n{HEAD}")
    for title, some in rows(runs):
        print(line(title, some, path_minutes))


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
