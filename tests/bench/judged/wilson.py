"""The interval of a share that was counted."""

from __future__ import annotations

from math import sqrt

_Z = 1.95996  # 95 %


def wilson(hits: int, n: int) -> tuple[float, float]:
    """Return the 95 % interval of a share (Wilson 1927, J. Am. Stat. Assoc. 22, 209-212).

    >>> [round(each, 4) for each in wilson(8, 10)]
    [0.4902, 0.9433]
    """
    if n == 0:
        return 0.0, 1.0
    share, z2 = hits / n, _Z**2
    middle = (share + z2 / (2 * n)) / (1 + z2 / n)
    wide = _Z / (1 + z2 / n) * sqrt(share * (1 - share) / n + z2 / (4 * n**2))
    return max(0.0, middle - wide), min(1.0, middle + wide)
