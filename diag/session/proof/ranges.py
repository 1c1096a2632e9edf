"""The widest range of numbers that a finding may read, found by trying.

Numbers are tried on a grid and where something is known to turn; the ends are found by bisection.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from diag.model.quantity import Quantity
from diag.model.rulebook import Finding

STEPS = 64
HALVINGS = 60

Holds = Callable[[Quantity], bool | None]
Ends = tuple[Quantity | None, Quantity | None]
"""The two ends of a range; None for one that is open."""


def widest_range(finding: Finding, turns: Iterable[float], holds: Holds) -> Ends | None:
    """Return the widest range of believable numbers that hold; None for none, or for all of them.

    `turns` are numbers in SI at which it may turn: a range narrower than the grid is found only
    where one of them lies in it.
    """
    unit = finding.unit
    if unit is None or finding.believable is None:
        return None
    least, most = (end.si for end in finding.believable)

    def at(number: float) -> bool:
        return bool(holds(Quantity(number, unit)))

    tried = sorted({*_grid(least, most), *(turn for turn in turns if least <= turn <= most)})
    points = [*tried, *((before + after) / 2 for before, after in pairwise(tried))]
    found = list(_ranges(sorted(points), at))
    if not found:
        return None
    low, high = max(found, key=lambda one: one[1] - one[0])
    if low <= least and high >= most:
        return None
    return (
        None if low <= least else Quantity(low, unit),
        None if high >= most else Quantity(high, unit),
    )


def _grid(least: float, most: float) -> Iterator[float]:
    for step in range(STEPS + 1):
        yield least + (most - least) * step / STEPS


def _ranges(points: list[float], at: Callable[[float], bool]) -> Iterator[tuple[float, float]]:
    """Yield the ends of each range in which all points hold."""
    truths = [(point, at(point)) for point in points]
    begin = points[0] if truths[0][1] else None
    for (before, was), (after, now) in pairwise(truths):
        if was != now:
            edge = _edge(before, after, was, at)
            if now:
                begin = edge
            elif begin is not None:
                yield begin, edge
                begin = None
    if begin is not None:
        yield begin, points[-1]


def _edge(before: float, after: float, was: bool, at: Callable[[float], bool]) -> float:
    """Return the last number that holds between one that does and one that does not."""
    good, bad = (before, after) if was else (after, before)
    for _ in range(HALVINGS):
        middle = (good + bad) / 2
        if middle in (good, bad):
            break
        if at(middle):
            good = middle
        else:
            bad = middle
    return good
