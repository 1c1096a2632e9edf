"""Straight lines between the points of a published table."""

from bisect import bisect_right
from collections.abc import Sequence
from math import inf


def along(table: Sequence[tuple[float, float]], x: float) -> float:
    """Interpolate linearly in (x, y) pairs of rising x, holding the end values outside.

    >>> along(((0.0, 10.0), (10.0, 20.0)), 2.5)
    12.5
    >>> along(((0.0, 10.0), (10.0, 20.0)), 99.0)
    20.0
    """
    if x <= table[0][0]:
        return table[0][1]
    if x >= table[-1][0]:
        return table[-1][1]
    upper = bisect_right(table, (x, inf))
    (x0, y0), (x1, y1) = table[upper - 1], table[upper]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
