"""The trend of few readings, held to scipy."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import kendalltau, theilslopes

from diag.jobs.past.trend import Trend, mann_kendall, theil_sen

NUMBERS = st.integers(-40, 40).map(lambda one: one / 4)
ROWS = st.lists(NUMBERS, min_size=2, max_size=9)


@pytest.mark.filterwarnings("ignore:invalid value encountered")
@given(st.lists(st.tuples(st.integers(0, 40), NUMBERS), min_size=2, max_size=12))
def test_the_slope_is_scipys(points: list[tuple[int, float]]) -> None:
    """The median of all slopes is that of scipy.stats.theilslopes."""
    times, values = zip(*points, strict=True)
    assume(len(set(times)) > 1)
    assert theilslopes(values, times).slope == pytest.approx(theil_sen(times, values))


@settings(deadline=None)
@given(st.lists(NUMBERS, min_size=2, max_size=12, unique=True))
def test_the_chance_without_ties_is_scipys(values: list[float]) -> None:
    """Without ties the chance is that of Kendall's exact test in scipy.stats.kendalltau."""
    theirs = kendalltau(range(len(values)), values, method="exact").pvalue
    assert theirs == pytest.approx(mann_kendall(values))


@given(st.permutations(range(5)))
def test_the_chance_is_a_count_of_orders(values: list[int]) -> None:
    """The chance is the part of all orders that go one way at least as much."""

    def score(row: tuple[int, ...] | list[int]) -> int:
        return sum(
            (later > first) - (later < first)
            for at, first in enumerate(row)
            for later in row[at + 1 :]
        )

    orders = [abs(score(row)) >= abs(score(values)) for row in permutations(values)]
    assert sum(orders) / len(orders) == pytest.approx(mann_kendall([float(v) for v in values]))


def test_ties_spread_less() -> None:
    """With ties the chance is Kendall's: S = 13 of six readings, twice two of them alike.

    Var S = (6 * 5 * 17 - 2 * 2 * 1 * 9) / 18 = 26.33, z = (13 - 1) / 5.132 = 2.338, and so
    0.0194 by the table of the normal distribution.
    """
    rising = [1.0, 1.0, 2.0, 3.0, 4.0, 4.0]
    assert 0.0194 == pytest.approx(mann_kendall(rising), abs=5e-5)
    assert mann_kendall(rising) == pytest.approx(mann_kendall(rising[::-1]))
    assert 1.0 == mann_kendall([2.0, 2.0, 2.0])


@given(ROWS)
def test_few_readings_are_never_sure(values: list[float]) -> None:
    """Four readings or fewer cannot tell a trend from chance: 2 of 24 orders go one way whole."""
    few = tuple(values[:4])
    trend = Trend(tuple(float(at) for at in range(len(few))), few, (0.0,) * len(few))
    assert not trend.is_sure


def test_a_trend_leaves_the_meters_errors() -> None:
    """A change is told as one only where it is more than the errors of both readings."""
    times, values = (0.0, 1.0, 2.0, 3.0, 4.0), (0.70, 0.74, 0.78, 0.82, 0.86)
    assert 0.04 == pytest.approx(Trend(times, values, (0.05,) * 5).slope)
    assert 0.16 == pytest.approx(Trend(times, values, (0.05,) * 5).change)
    assert Trend(times, values, (0.05,) * 5).is_sure
    assert not Trend(times, values, (0.09,) * 5).is_sure
