"""Meters err within their published limits, and as evenly as rectangular limits say."""

from __future__ import annotations

from math import inf, isinf
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from diag.workshop import WorkshopError
from diag.workshop.meters import SPECIFICATIONS, Mistakes, meter

# A reading within each range, far from its ends.
TRUE = {
    "volts": 12.6, "low ohms": 10.0, "ohms": 1077.9, "kilohms": 33_621.0, "small amps": 0.025,
    "clamp amps": 9.5, "thermocouple": 105.0, "vane": 11.0, "oxygen": 7.5,
    "carbon monoxide": 80.0, "cylinder": 2.2, "stopwatch": 30.0, "smoke spot": 1.0,
}  # fmt: skip
# A maker's pages: 0.5 % + 3 digits at 12.6 V; 2 % + 5 digits of 0.01 A at 1 A and 0.2 A.
PUBLISHED = [("volts", 12.6, 0.093), ("clamp amps", 1.0, 0.07), ("clamp amps", 0.2, 0.054)]


@pytest.mark.parametrize(("name", "true", "limit"), PUBLISHED)
def test_limits_are_the_published_ones(name: str, true: float, limit: float) -> None:
    """A range's limit is its share of the reading and its digits, as the makers state it."""
    assert limit == pytest.approx(SPECIFICATIONS[name].limit(true), abs=1e-9)


@settings(max_examples=300)
@given(st.sampled_from(sorted(TRUE)), st.integers(0, 10**6), st.floats(0.2, 2.0))
def test_no_reading_leaves_its_published_limits(name: str, seed: int, share: float) -> None:
    """Without slips, every reading is within the limits of its specification."""
    spec, random = SPECIFICATIONS[name], Random(seed)
    true = TRUE[name] * share
    read = meter(name, random).read(true, random)
    assert read is not None
    if not isinf(read):
        shown = true + spec.leads
        assert abs(read - shown) <= spec.limit(shown) + 1e-6


def _bins(values: list[float], least: float, most: float, count: int = 20) -> list[int]:
    bins = [0] * count
    for value in values:
        bins[min(count - 1, max(0, int((value - least) / (most - least) * count)))] += 1
    return bins


def test_scale_errors_of_many_meters_are_even() -> None:
    """Read where digits hardly count, 20,000 voltmeters spread evenly over 0.5 % (chi-square)."""
    random = Random(8)
    errors = []
    for _ in range(20_000):
        each = meter("kilohms", random)
        read = each.read(1_900_000.0, random)
        assert read is not None
        errors.append(read / 1_900_000.0 - 1.0)
    assert chisquare(_bins(errors, -0.008, 0.008)).pvalue > 0.001


def test_digits_of_one_meter_are_even() -> None:
    """Read at nothing, one voltmeter shows -3 to 3 digits: the middle ones evenly (chi-square).

    The outermost digits are reached by rounding alone, and so half as often.
    """
    random = Random(9)
    each = meter("volts", random)
    counts = dict.fromkeys(range(-3, 4), 0)
    for _ in range(20_000):
        read = each.read(0.0, random)
        assert read is not None
        counts[round(read * 100.0)] += 1
    assert 0 == counts[-3] + counts[3]
    assert chisquare([counts[digit] for digit in range(-2, 3)]).pvalue > 0.001


def test_one_meters_scale_error_is_common_to_its_readings() -> None:
    """A difference of two readings of one meter errs by the digits; of two meters by the scale.

    The rise from 11.9 V to 12.6 V is read to 0.05 V with one meter, not with two (JCGM 100, 5.2.2).
    """
    random = Random(10)
    one, two = [], []
    for _ in range(2000):
        first, second = meter("volts", random), meter("volts", random)
        high, low, other = (
            m.read(v, random) for m, v in ((first, 12.6), (first, 11.9), (second, 11.9))
        )
        assert high is not None
        assert low is not None
        assert other is not None
        one.append(abs(high - low - 0.7))
        two.append(abs(high - other - 0.7))
    assert max(one) < 0.06 < 0.1 < max(two)


def test_over_range_and_dropouts_are_no_numbers() -> None:
    """An open circuit is over range; a dropout is no reading; without them there always is one."""
    random = Random(11)
    ohmmeter = meter("low ohms", random)
    assert inf == ohmmeter.read(1e7, random)
    assert ohmmeter.read(10.0, random, Mistakes(dropout=1.0)) is None
    assert all(ohmmeter.read(10.0, random) is not None for _ in range(500))


def test_slips_are_as_frequent_as_they_are_switched_on() -> None:
    """A slip leaves the meter's limits; their share is the chance that was set."""
    random = Random(12)
    each, far = meter("volts", random), 0
    for _ in range(5000):
        read = each.read(12.6, random, Mistakes(slip=0.1))
        assert read is not None
        far += abs(read - 12.6) > 0.1
    assert 0.1 == pytest.approx(far / 5000.0, abs=0.015)


def test_an_unknown_meter_is_refused() -> None:
    """A meter that there is not is named, with those that there are."""
    with pytest.raises(WorkshopError, match=r"^there is no meter `crystal ball`: expected one of"):
        meter("crystal ball", Random(1))
