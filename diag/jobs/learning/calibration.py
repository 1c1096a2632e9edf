"""How good the verdicts were: of repairs held to be 90 % sure, were nine in ten right?

The score is that of Brier, Verification of forecasts expressed in terms of probability, Monthly
Weather Review 78 (1950), for one event; its parts are those of Murphy, A new vector partition of
the probability score, Journal of Applied Meteorology 12 (1973). Verdicts in one bin are not all
alike, so two parts more keep the sum exact: Stephenson, Coelho and Jolliffe, Two extra components
in the Brier score decomposition, Weather and Forecasting 23 (2008).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import fsum

from diag.jobs.learning.beta import Beta
from diag.model.frozen import frozen
from diag.store.outcomes import CameTo

BINS = 10
SURE_AT = 0.9
"""From this share on a verdict counts as one at 90 %."""
RIGHT: frozenset[CameTo] = frozenset({"proved"})
UNKNOWN: frozenset[CameTo] = frozenset({"open"})
"""What came of it is not known: such a verdict tells nothing."""


@frozen
class JudgedVerdict:
    """How likely a cause was held to be when it was repaired, from 0 to 1, and whether it was."""

    share: float
    right: bool


@frozen
class Bin:
    """Verdicts of about the same share, from `low` to below `high`; the last holds 1 as well."""

    low: float
    high: float
    count: int
    said: float
    """Mean of the shares."""
    right: int

    @property
    def was(self) -> float:
        """Return how many were right, from 0 to 1."""
        return self.right / self.count

    @property
    def interval(self) -> tuple[float, float]:
        """Return between what ends the true share of right ones is, 95 % sure.

        By the beta distribution from Jeffreys' prior (Brown, Cai and DasGupta, Interval estimation
        for a binomial proportion, Statistical Science 16, 2001).
        """
        return Beta(self.right + 0.5, self.count - self.right + 0.5).interval()


@frozen
class Brier:
    """The mean square of what verdicts were out by, and its parts.

    `score` is reliability less resolution plus uncertainty plus `within` the bins.
    """

    score: float
    reliability: float
    resolution: float
    uncertainty: float
    within: float


@frozen
class Calibration:
    """Verdicts held against what came of them."""

    judged: int
    open: int
    """Verdicts of which nobody read what came of them."""
    bins: tuple[Bin, ...]
    """Those that hold a verdict, the lowest first."""
    brier: Brier | None
    """None where there is no verdict."""
    sure: Bin | None
    """The verdicts from `SURE_AT` on; None where there is none."""


def calibration(verdicts: Iterable[tuple[float, CameTo]], bins: int = BINS) -> Calibration:
    """Return how well verdicts fit what came of them."""
    told = list(verdicts)
    judged = [JudgedVerdict(share, came in RIGHT) for share, came in told if came not in UNKNOWN]
    sure = [one for one in judged if one.share >= SURE_AT]
    parted = [group for group in _parted(judged, bins) if group]
    return Calibration(
        len(judged),
        len(told) - len(judged),
        tuple(_bin(group, bins) for group in parted),
        brier(judged, bins) if judged else None,
        _of(sure, SURE_AT, 1.0) if sure else None,
    )


def brier(judged: Sequence[JudgedVerdict], bins: int = BINS) -> Brier:
    """Return the score and its parts, of one verdict or more."""
    total = len(judged)
    base = sum(one.right for one in judged) / total
    reliability = resolution = spread = shared = 0.0
    for group in _parted(judged, bins):
        if not group:
            continue
        size = len(group)
        said = fsum(one.share for one in group) / size
        was = sum(one.right for one in group) / size
        reliability += size * (said - was) ** 2
        resolution += size * (was - base) ** 2
        spread += fsum((one.share - said) ** 2 for one in group)
        shared += fsum((one.share - said) * (one.right - was) for one in group)
    score = fsum((one.share - one.right) ** 2 for one in judged) / total
    parts = (reliability / total, resolution / total, base * (1 - base))
    return Brier(score, *parts, (spread - 2 * shared) / total)


def _parted(judged: Iterable[JudgedVerdict], bins: int) -> list[list[JudgedVerdict]]:
    groups: list[list[JudgedVerdict]] = [[] for _ in range(bins)]
    for one in judged:
        groups[min(int(one.share * bins), bins - 1)].append(one)
    return groups


def _bin(group: Sequence[JudgedVerdict], bins: int) -> Bin:
    at = min(int(group[0].share * bins), bins - 1)
    return _of(group, at / bins, (at + 1) / bins)


def _of(group: Sequence[JudgedVerdict], low: float, high: float) -> Bin:
    said = fsum(one.share for one in group) / len(group)
    return Bin(low, high, len(group), said, sum(one.right for one in group))
