"""Sensor curves against IEC 60751 and the beta equation's printed values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.workshop import Fault, apply_fault
from diag.workshop.laws.curves import (
    platinum_c,
    platinum_ohm,
    sensed_c,
    sensor_ohm,
    thermistor_c,
    thermistor_ohm,
)
from tests.workshop.shipped import small

# IEC 60751, 1000 ohm at 0 C: the standard's table for Pt100, times ten.
IEC_60751 = {
    -40: 842.71, -30: 882.22, -20: 921.60, -10: 960.86, 0: 1000.00, 10: 1039.03, 20: 1077.93,
    25: 1097.35, 30: 1116.73, 40: 1155.41, 50: 1193.97, 60: 1232.42, 80: 1308.97, 100: 1385.05,
    120: 1460.68, 150: 1573.25, 200: 1758.56, 250: 1940.98, 300: 2120.51, 350: 2297.16,
    400: 2470.92, 450: 2641.79, 500: 2809.78, 600: 3137.08,
}  # fmt: skip
# R = 10000 exp(3950 (1/T - 1/298.15)), worked with another program.
BETA_3950 = {
    -40: 401860, -20: 105385, 0: 33621, 10: 20175, 20: 12535, 25: 10000, 50: 3588, 80: 1270,
    100: 697.5, 120: 407.1,
}  # fmt: skip


@pytest.mark.parametrize(("celsius", "ohm"), IEC_60751.items())
def test_platinum_follows_iec_60751(celsius: float, ohm: float) -> None:
    """A Pt1000 shows the resistance of the standard's table, to its last digit."""
    assert ohm == pytest.approx(platinum_ohm(celsius), abs=0.011)


@pytest.mark.parametrize(("celsius", "ohm"), BETA_3950.items())
def test_a_thermistor_follows_the_beta_equation(celsius: float, ohm: float) -> None:
    """A 10 kohm thermistor of beta 3950 K shows the equation's resistance."""
    assert ohm == pytest.approx(thermistor_ohm(celsius), rel=5e-4)


@given(st.floats(-50.0, 800.0))
def test_a_sound_sensor_is_read_back_as_the_temperature_that_it_feels(celsius: float) -> None:
    """Curve and inverse cancel, for both elements."""
    assert celsius == pytest.approx(platinum_c(platinum_ohm(celsius)), abs=1e-3)
    assert celsius == pytest.approx(thermistor_c(thermistor_ohm(celsius)), abs=1e-3)


def test_broken_and_shorted_sensors_are_told_from_warm_ones() -> None:
    """A gap and a short are sensed as no temperature at all."""
    sound = small()
    cut = apply_fault(sound, Fault("overheat sensor", "wire", "becomes", 1e7)).overheat_sensor
    short = apply_fault(sound, Fault("flame sensor", "shorted", "becomes", 1.0)).flame_sensor
    assert sensed_c(cut, sensor_ohm(cut, 20.0)) is None
    assert sensed_c(short, sensor_ohm(short, 20.0)) is None
    ohm = sensor_ohm(sound.flame_sensor, 20.0)
    assert sensed_c(sound.flame_sensor, ohm) == pytest.approx(20.0, abs=0.2)


def test_drift_shows_in_ohms() -> None:
    """A flame sensor that is 26 K high shows 0.1 kohm more at 20 C (IEC 60751: 3.9 ohm a K)."""
    drifted = apply_fault(small(), Fault("flame sensor", "offset", "plus", 26.0)).flame_sensor
    more = sensor_ohm(drifted, 20.0) - sensor_ohm(small().flame_sensor, 20.0)
    assert 100.7 == pytest.approx(more, abs=0.5)
