"""Whether readings of one heater go one way over the years, told honestly of few points.

The slope is the median of all slopes between two readings (Theil, A rank-invariant method of
linear and polynomial regression analysis, 1950; Sen, Journal of the American Statistical
Association 63, 1968), which a single bad reading hardly moves. The chance that readings without
a trend would go one way as much is that of Mann (Econometrica 13, 1945) and Kendall (Rank
Correlation Methods, 1955): exact without ties, else by the normal distribution with Kendall's
correction for ties.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import combinations
from math import erfc, factorial, sqrt
from statistics import median

from diag.model.frozen import frozen

CHANCE = 0.05
"""Below this chance a trend is told as more than chance."""
LEAST_POINTS = 3
"""Fewer readings than this show no trend."""


@frozen
class Trend:
    """Readings in order of time, and what they tell; times in years, values in one unit."""

    times: tuple[float, ...]
    values: tuple[float, ...]
    errors: tuple[float, ...]
    """How far off the meter may be at each, in the unit of the values."""

    @property
    def slope(self) -> float:
        """Return the median change a year; 0 where fewer than two readings differ in time."""
        return theil_sen(self.times, self.values)

    @property
    def chance(self) -> float:
        """Return the chance that readings without a trend go one way as much."""
        return mann_kendall(self.values)

    @property
    def change(self) -> float:
        """Return the change from the first reading to the last, along the slope."""
        return self.slope * (self.times[-1] - self.times[0])

    @property
    def beyond_error(self) -> bool:
        """Tell whether that is more than both meters may be off together."""
        return abs(self.change) > self.errors[0] + self.errors[-1]

    @property
    def is_sure(self) -> bool:
        """Tell whether there is a trend beyond chance and beyond the meters' errors."""
        return len(self.values) >= LEAST_POINTS and self.chance < CHANCE and self.beyond_error


def theil_sen(times: Sequence[float], values: Sequence[float]) -> float:
    """Return the median of the slopes between any two points that differ in time.

    >>> theil_sen([0, 1, 2, 3], [1.0, 2.0, 9.0, 4.0])
    1.0
    """
    points = zip(times, values, strict=True)
    slopes = [
        (later - first) / (end - begin)
        for (begin, first), (end, later) in combinations(points, 2)
        if end != begin
    ]
    return median(slopes) if slopes else 0.0


def mann_kendall(values: Sequence[float]) -> float:
    """Return the chance, both ways, that as many pairs in a row of no trend go one way.

    >>> round(mann_kendall([1.0, 2.0, 3.0, 4.0]), 4)
    0.0833
    """
    size = len(values)
    if size < 2:
        return 1.0
    pairs = combinations(values, 2)
    score = sum((later > first) - (later < first) for first, later in pairs)
    ties = [count for count in Counter(values).values() if count > 1]
    if not ties:
        return _exact(size, score)
    spread = size * (size - 1) * (2 * size + 5)
    spread -= sum(count * (count - 1) * (2 * count + 5) for count in ties)
    if not spread:
        return 1.0
    # One step less, as the score goes in steps of two: Kendall's correction for continuity.
    away = max(abs(score) - 1, 0) / sqrt(spread / 18)
    return erfc(away / sqrt(2))


def _exact(size: int, score: int) -> float:
    """Return the exact chance by counting orders by their number of pairs the wrong way round.

    Of so many things in a row the counts follow from those of one less (Kendall 1955).
    """
    counts = [1]
    for length in range(2, size + 1):
        grown = [0] * (len(counts) + length - 1)
        for wrong, count in enumerate(counts):
            for more in range(length):
                grown[wrong + more] += count
        counts = grown
    most = size * (size - 1) // 2
    fewer = min((most - score) // 2, (most + score) // 2)
    return min(1.0, 2 * sum(counts[: fewer + 1]) / factorial(size))
