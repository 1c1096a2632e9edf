"""CO against WHO, NIOSH, OSHA, EN 50291 and the ideal gas."""

from itertools import pairwise

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.combustion.carbon_monoxide import (
    ALARM_POINTS,
    EARLIER_WHO_LIMITS,
    LIMITS,
    UL_2034_POINTS,
    ExposureLimit,
    Sample,
    against_limits,
    alarm_window_min,
    highest_mean_ppm,
    mg_per_m3_from_ppm,
    ppm_from_mg_per_m3,
    time_weighted_mean_ppm,
)


@pytest.mark.parametrize(("celsius", "mg"), [(25, 1.1449), (20, 1.1644), (0, 1.2497)])
def test_one_ppm(celsius: float, mg: float) -> None:
    """1 ppm is 1.145 mg/m3 at 25 C and more when colder (ideal gas, 28.010 g/mol)."""
    assert mg == pytest.approx(mg_per_m3_from_ppm(1.0, celsius), abs=6e-5)


@pytest.mark.parametrize(
    ("mg", "at_25", "at_20"),
    [
        (4, 3.49, 3.44), (7, 6.11, 6.01), (10, 8.73, 8.59), (30, 26.2, 25.8), (35, 30.6, 30.1),
        (60, 52.4, 51.5), (100, 87.3, 85.9),
    ],
)  # fmt: skip
def test_limits_in_ppm(mg: float, at_25: float, at_20: float) -> None:
    """35 mg/m3 is 30.6 ppm, not 35 (ideal gas)."""
    assert at_25 == pytest.approx(ppm_from_mg_per_m3(mg), rel=2e-3)
    assert at_20 == pytest.approx(ppm_from_mg_per_m3(mg, 20.0), rel=2e-3)


def test_printed_pairs() -> None:
    """NIOSH prints 35 ppm = 40 and 200 = 229 mg/m3; OSHA's 50 = 55 is rounded 4 % low."""
    assert round(mg_per_m3_from_ppm(35.0)) == 40
    assert round(mg_per_m3_from_ppm(200.0)) == 229
    assert pytest.approx(57.3, abs=0.06) == mg_per_m3_from_ppm(50.0)


def test_conversion_by_pint() -> None:
    """`pint` reaches the same mg/m3 from the gas constant."""
    ureg = pint.UnitRegistry()
    pressure = ureg.Quantity(101325, "Pa")
    mole_volume = (ureg.R * ureg.Quantity(291.15, "K") / pressure).to("m**3 / mol")
    per_m3 = (ureg.Quantity(28.010e-6, "g/mol") / mole_volume).to("mg / m**3").magnitude
    assert per_m3 == pytest.approx(mg_per_m3_from_ppm(1.0, 18.0), rel=1e-9)


@pytest.mark.parametrize(
    ("name", "ppm", "minutes"),
    [
        # WHO indoor 2010: from memory but for the 24 h row; WHO 2021: 24 h.
        ("WHO indoor air 2010, 100 mg/m3", 87.3, 15),
        ("WHO indoor air 2010, 35 mg/m3", 30.6, 60),
        ("WHO indoor air 2010, 10 mg/m3", 8.73, 480),
        ("WHO indoor air 2010, 7 mg/m3", 6.11, 1440),
        ("WHO air quality 2021, 4 mg/m3", 3.49, 1440),
        # NIOSH Pocket Guide; 29 CFR 1910.1000 Z-1; ACGIH; Directive 2017/164/EU; NAAQS.
        ("NIOSH recommended, 10 h", 35, 600),
        ("NIOSH ceiling", 200, 0),
        ("OSHA permissible, 8 h", 50, 480),
        ("ACGIH threshold, 8 h", 25, 480),
        ("EU and UK workplace, 8 h", 20, 480),
        ("EPA outdoor air, 8 h", 9, 480),
        ("EPA outdoor air, 1 h", 35, 60),
        # from memory
        ("EU and UK workplace, 15 min", 100, 15),
    ],
)
def test_exposure_limits(name: str, ppm: float, minutes: float) -> None:
    """Each limit has its ppm and its own averaging time."""
    limit = {each.name: each for each in LIMITS}[name]
    assert ppm == pytest.approx(limit.ppm, rel=2e-3)
    assert minutes == limit.minutes


def test_alarm_set_points() -> None:
    """30 ppm must NOT sound before 120 min; 300 ppm sounds within 3 (EN 50291-1:2018)."""
    assert [(30, 120, None), (50, 60, 90), (100, 10, 40), (300, 0, 3)] == [
        (point.ppm, point.not_before_min, point.within_min) for point in ALARM_POINTS
    ]
    assert alarm_window_min(29.0) is None
    at_30 = alarm_window_min(30.0)
    assert at_30 is not None
    assert at_30.within_min is None


def test_mean_of_a_ramp() -> None:
    """A ramp from 0 to 40 in 10 min, held for 20, has the mean 33.3 ppm (hand-worked)."""
    ramp = (Sample(0, 0), Sample(10, 40), Sample(30, 40))
    assert pytest.approx(100 / 3) == time_weighted_mean_ppm(ramp)


def test_highest_window_over_a_peak() -> None:
    """A triangle of 100 ppm and 20 min has 75 ppm in its fullest 10 min (hand-worked)."""
    peak = (Sample(0, 0), Sample(20, 0), Sample(30, 100), Sample(40, 0), Sample(60, 0))
    assert pytest.approx(75.0) == highest_mean_ppm(peak, 10.0)
    assert highest_mean_ppm(peak, 0.0) == 100.0


LIMIT = (ExposureLimit("an hour at 30", 30.0, 60.0, "made up for the test"),)


@pytest.mark.parametrize(
    ("ppm", "minutes", "standing"),
    [(31, 60, "exceeded"), (29, 60, "kept"), (29, 59, "record too short"), (200, 10, "exceeded")],
)
def test_standing(ppm: float, minutes: float, standing: str) -> None:
    """A short record can prove an excess, but not that the limit was kept."""
    record = (Sample(0, ppm), Sample(minutes, ppm))
    assert [standing] == [each.standing for each in against_limits(record, LIMIT)]


readings = st.lists(
    st.tuples(st.floats(0.5, 30), st.floats(0, 400)), min_size=2, max_size=8
).map(lambda steps: tuple(
    Sample(sum(s for s, _ in steps[: place + 1]), ppm) for place, (_, ppm) in enumerate(steps)
))  # fmt: skip


@given(readings, st.floats(1, 60))
def test_highest_mean_against_a_fine_comb(samples: tuple[Sample, ...], minutes: float) -> None:
    """No window of a fine comb beats the highest mean, and the best comes close to it."""
    length = samples[-1].minute - samples[0].minute
    if length <= minutes:
        whole = time_weighted_mean_ppm(samples) * length / minutes
        assert pytest.approx(whole) == highest_mean_ppm(samples, minutes)
        return
    highest = highest_mean_ppm(samples, minutes)

    def level(at: float) -> float:
        for a, b in pairwise(samples):
            if a.minute <= at <= b.minute:
                return a.ppm + (b.ppm - a.ppm) * (at - a.minute) / (b.minute - a.minute)
        return samples[-1].ppm

    best = 0.0
    for comb in range(21):
        start = samples[0].minute + (length - minutes) * comb / 20
        best = max(best, sum(level(start + minutes * (k + 0.5) / 200) for k in range(200)) / 200)
    assert best <= highest * 1.02 + 1.0
    assert highest <= max(sample.ppm for sample in samples) + 1e-9


@given(st.floats(0, 5000), st.floats(-20, 60))
def test_conversion_round_trip(ppm: float, celsius: float) -> None:
    """To mg/m3 and back changes nothing."""
    there = mg_per_m3_from_ppm(ppm, celsius)
    assert pytest.approx(ppm) == ppm_from_mg_per_m3(there, celsius)


@pytest.mark.parametrize(
    ("ppm", "earliest", "latest"),
    [(30, 30 * 24 * 60, None), (70, 60, 240), (150, 10, 50), (400, 4, 15)],
)
def test_the_american_alarm_points_differ(
    ppm: float, earliest: float, latest: float | None
) -> None:
    """UL 2034 and CSA 6.19 let an alarm wait longer than EN 50291 does (published table)."""
    point = alarm_window_min(ppm, UL_2034_POINTS)
    assert point is not None
    assert (earliest, latest) == (point.not_before_min, point.within_min)


def test_the_earlier_who_limits() -> None:
    """WHO Air Quality Guidelines for Europe 2000, Table 1: mg/m3 by minutes, ppm at 25 C."""
    expected = [(87.3, 15), (52.4, 30), (26.2, 60), (8.73, 480)]
    found = [(limit.ppm, limit.minutes) for limit in EARLIER_WHO_LIMITS]
    for (ppm, minutes), (known, window) in zip(expected, found, strict=True):
        assert pytest.approx(ppm, rel=2e-3) == known
        assert minutes == window
