"""Verdicts against what came of them, held to Brier, Murphy and scikit-learn."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss

from diag.jobs.learning.calibration import JudgedVerdict, brier, calibration

JUDGED = st.lists(st.builds(JudgedVerdict, st.floats(0, 1), st.booleans()), min_size=1, max_size=60)
# Ten forecasts of rain: Brier, Monthly Weather Review 78 (1950), table 1, from memory. He sums over
# rain and no rain and has 0.19, which is twice the score of the one event.
SAID = (0.7, 0.9, 0.8, 0.4, 0.2, 0.0, 0.0, 0.0, 0.0, 0.1)
RAIN = [JudgedVerdict(said, at in (1, 2, 3)) for at, said in enumerate(SAID)]


def test_briers_own_example() -> None:
    """Brier's ten forecasts score 0.19 over both outcomes."""
    assert 0.19 == pytest.approx(2 * brier(RAIN).score)


def test_murphys_parts_of_it() -> None:
    """Each forecast by itself is fully resolved: resolution is the uncertainty, 0.3 times 0.7."""
    found = brier(RAIN, bins=10)
    assert (0.21, 0.21) == pytest.approx((found.resolution, found.uncertainty))
    assert 0.095 == pytest.approx(found.reliability)
    assert 0.0 == pytest.approx(found.within)


def test_a_partition_by_hand() -> None:
    """Of 10 at 0.8, 7 right, and 10 at 0.2, 3 right: 0.01 less 0.04 more 0.25 is 0.22.

    Base 1/2; reliability (0.8 - 0.7)^2, resolution (0.7 - 0.5)^2, as Murphy (1973) parts them.
    """
    judged = [JudgedVerdict(0.8, at < 7) for at in range(10)]
    judged += [JudgedVerdict(0.2, at < 3) for at in range(10)]
    found = brier(judged)
    assert (0.22, 0.01, 0.04, 0.25, 0.0) == pytest.approx(
        (found.score, found.reliability, found.resolution, found.uncertainty, found.within)
    )


MURPHY = [
    ({0.1: (10, 1), 0.3: (10, 4), 0.7: (10, 6), 0.9: (10, 9)}, (0.170, 0.005, 0.085, 0.250), 0.32),
    ({0.1: (5, 1), 0.8: (5, 4)}, (0.165, 0.005, 0.090, 0.250), 0.34),
]
"""Forecast to how often it was given and how often it came true; the score with its reliability,
resolution and uncertainty; and the skill, which is what the score gains on the base rate's. Murphy
1973, J. Appl. Meteorol. 12, 595, as its abstract and a published study note give the cases; the
skill of the second is worked out from them."""


@pytest.mark.parametrize(("told", "parts", "skill"), MURPHY)
def test_murphys_cases(
    told: dict[float, tuple[int, int]], parts: tuple[float, ...], skill: float
) -> None:
    """Forecasts in groups of equal ones have the parts that Murphy gives, and nothing within."""
    found = brier([
        JudgedVerdict(said, at < right)
        for said, (count, right) in told.items()
        for at in range(count)
    ])  # fmt: skip
    assert (*parts, 0.0) == pytest.approx(
        (found.score, found.reliability, found.resolution, found.uncertainty, found.within)
    )
    assert skill == pytest.approx(1 - found.score / found.uncertainty)


@given(JUDGED, st.integers(1, 20))
def test_the_parts_add_up(judged: list[JudgedVerdict], bins: int) -> None:
    """Reliability less resolution plus uncertainty plus what is within bins is the score."""
    found = brier(judged, bins)
    parts = found.reliability - found.resolution + found.uncertainty + found.within
    direct = sum((Fraction(one.share) - one.right) ** 2 for one in judged) / len(judged)
    assert float(direct) == pytest.approx(parts, abs=1e-12)
    assert found.reliability >= 0
    assert found.resolution >= 0


@settings(deadline=None)
@given(JUDGED)
def test_the_score_is_scikit_learns(judged: list[JudgedVerdict]) -> None:
    """The score is sklearn.metrics.brier_score_loss."""
    right, shares = [one.right for one in judged], [one.share for one in judged]
    assert brier_score_loss(right, shares, pos_label=True) == pytest.approx(
        brier(judged).score, abs=1e-12
    )


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(0, 99), st.booleans()), min_size=1, max_size=60))
def test_the_bins_are_scikit_learns(told: list[tuple[int, bool]]) -> None:
    """What was said and what was right, bin by bin, is sklearn.calibration.calibration_curve.

    The shares lie inside their bins: on an edge scikit-learn counts one down, this one up.
    """
    shares = [(percent + 0.5) / 100 for percent, _ in told]
    was, said = calibration_curve([right for _, right in told], shares, n_bins=10)
    verdicts = [
        (share, "proved" if right else "failed")
        for share, (_, right) in zip(shares, told, strict=True)
    ]
    found = calibration(verdicts).bins
    assert list(was) == pytest.approx([one.was for one in found])
    assert list(said) == pytest.approx([one.said for one in found])


def test_what_nobody_read_is_counted_apart() -> None:
    """A verdict whose proof was not read whole is neither right nor wrong."""
    found = calibration([(0.95, "proved"), (0.92, "open"), (0.93, "holds"), (0.5, "went on")])
    assert (3, 1) == (found.judged, found.open)
    assert found.sure is not None
    assert (2, 1) == (found.sure.count, found.sure.right)


def test_no_verdicts_have_no_score() -> None:
    """Where nothing was proved there is nothing to score."""
    found = calibration([(0.9, "open")])
    assert (None, None, ()) == (found.brier, found.sure, found.bins)
