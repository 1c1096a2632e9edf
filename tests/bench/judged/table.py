"""The judge's table: sessions by fault, each number with its 95 % interval."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import sqrt
from statistics import mean, median, stdev

from diag.practice.player import Played
from tests.bench.judged.wilson import wilson

HEAD = (
    f"{'fault':40}{'units':>5}{'first, %':>17}{'all, %':>17}{'hands-on':>14}{'waited':>14}"
    f"{'to right':>14}{'path':>6}{'times':>7}{'starts':>12}{'in vain':>12}{'missed':>7}"
    f"{'forbid':>7}{'untrue':>7}{'odd':>5}{'unmended':>9}{'three':>7}{'first at':>9}"
    f"{'bought':>7}{'told':>7}"
)
"""`first`: the first repair was right, or what is told as likeliest where it goes on elsewhere (a
sound unit: called sound); `all`: all wrong was named; `hands-on`, `waited`: minutes as the rules
count them, and on the unit's own clock; `to right`: hands-on until all was proposed; `path`: those
of a worked case's own path and repair, and the median of `times` that these go into `to right`;
`in vain`: parts bought in vain, in minutes; `missed`: dangers, `forbid`: forbidden acts; `untrue`:
endings that say too much; `odd`: `cannot be` that fired; `unmended`: units that went with a fault;
`three`: percent of which a fault was repaired or is among the three likeliest at the end;
`first at`: the median of starts before the first repair; `bought`: repairs in vain that took parts;
`told`: the median of the minutes of work told when the plan first spoke, as a share of those it
then took. A share has its Wilson interval, a mean 1.96 of its standard errors (`?` for one)."""


def share(hits: int, n: int) -> str:
    """Write a share in percent with its interval.

    >>> share(8, 10).strip()
    '80 (49 to 94)'
    """
    low, high = wilson(hits, n)
    return f"{f'{100 * hits / n:.0f} ({100 * low:.0f} to {100 * high:.0f})':>17}"


def spread(values: Iterable[float | None], width: int) -> str:
    """Write a mean with 1.96 of its standard errors.

    >>> spread([1.0, 2.0, 3.0], 13).strip(), spread([1200.0, 1300.0], 13).strip()
    ('2.0 +- 1.1', '1250 +- 98')
    """
    known = [each for each in values if each is not None]
    if not known:
        return f"{'-':>{width}}"
    if len(known) == 1:
        return f"{f'{_short(known[0])} +- ?':>{width}}"
    error = 1.96 * stdev(known) / sqrt(len(known))
    return f"{f'{_short(mean(known))} +- {_short(error)}':>{width}}"


def _short(number: float) -> str:
    return f"{number:.1f}" if abs(number) < 10.0 else f"{number:.0f}"


def line(title: str, runs: Sequence[Played], path_minutes: Callable[[Played], float | None]) -> str:
    """Write a line of the table: what some sessions came to."""
    n = len(runs)
    paths = [each for each in map(path_minutes, runs) if each is not None]
    times = [
        run.to_the_right / path
        for run, path in zip(runs, map(path_minutes, runs), strict=True)
        if run.to_the_right is not None and path
    ]
    told = [run.told / run.took for run in runs if run.told is not None and run.took > 0]
    faulty = [run for run in runs if run.truths]
    found = share(sum(run.all_found for run in faulty), len(faulty)) if faulty else f"{'-':>17}"
    return (
        f"{title:40}{n:5}{share(sum(run.right_first for run in runs), n)}{found}"
        + spread((run.minutes for run in runs), 14)
        + spread((run.waited for run in runs), 14)
        + spread((run.to_the_right for run in runs), 14)
        + (f"{mean(paths):6.0f}" if paths else f"{'-':>6}")
        + (f"{median(times):7.2f}" if times else f"{'-':>7}")
        + spread((float(run.starts) for run in runs), 12)
        + spread((run.parts_in_vain for run in runs), 12)
        + f"{sum(len(run.missed) for run in runs):7}{sum(len(run.forbidden) for run in runs):7}"
        + f"{sum(run.untrue for run in runs):7}{sum(len(run.impossible) for run in runs):5}"
        + f"{sum(not run.mended for run in runs):9}{_three(faulty)}{_first_at(runs)}"
        + f"{sum(run.bought_in_vain for run in runs):7}"
        + (f"{median(told):7.2f}" if told else f"{'-':>7}")
    )


def _three(faulty: Sequence[Played]) -> str:
    if not faulty:
        return f"{'-':>7}"
    return f"{100 * sum(run.among_three for run in faulty) / len(faulty):7.0f}"


def _first_at(runs: Sequence[Played]) -> str:
    starts = [run.starts_first for run in runs if run.starts_first is not None]
    return f"{median(starts):9.1f}" if starts else f"{'-':>9}"


def rows(runs: Sequence[Played]) -> Iterator[tuple[str, Sequence[Played]]]:
    """Yield the lines of the table by title: by fault, then one, two, and all."""
    for fault in sorted({run.fault for run in runs}):
        yield fault, [run for run in runs if run.fault == fault]
    for count, title in ((1, "ONE FAULT"), (2, "TWO FAULTS")):
        some = [run for run in runs if len(run.truths) == count]
        if some:
            yield title, some
    yield "ALL", runs
