"""Sensor curves: platinum by IEC 60751, thermistors by the beta equation; both ways."""

from __future__ import annotations

from math import exp, log, sqrt

from diag.workshop.amount import OPEN_OHM
from diag.workshop.parts.sensing import Sensor

# IEC 60751, R0 = 1000 ohm.
_A, _B, _C = 3.9083e-3, -5.775e-7, -4.183e-12
_R0_OHM = 1000.0
_R25_OHM, _BETA_K, _K25 = 10_000.0, 3950.0, 298.15
COLDEST_C, HOTTEST_C = -200.0, 850.0


def platinum_ohm(celsius: float) -> float:
    """Give the resistance (ohm) of a Pt1000 at a temperature (C), by IEC 60751.

    >>> round(platinum_ohm(100.0), 1)
    1385.1
    """
    t = min(HOTTEST_C, max(COLDEST_C, celsius))
    below = _C * (t - 100.0) * t**3 if t < 0.0 else 0.0
    return _R0_OHM * (1.0 + _A * t + _B * t * t + below)


def platinum_c(ohm: float) -> float:
    """Give the temperature (C) that a Pt1000's resistance (ohm) stands for.

    >>> round(platinum_c(1385.055), 2)
    100.0
    """
    if ohm >= _R0_OHM:
        under = _A * _A - 4.0 * _B * (1.0 - ohm / _R0_OHM)
        return HOTTEST_C if under < 0.0 else min(HOTTEST_C, (sqrt(under) - _A) / (2.0 * _B))
    celsius = max(COLDEST_C, (ohm / _R0_OHM - 1.0) / _A)
    for _ in range(4):  # Newton: the curve is all but straight
        slope = _R0_OHM * (_A + 2.0 * _B * celsius)
        celsius = max(COLDEST_C, celsius - (platinum_ohm(celsius) - ohm) / slope)
    return celsius


def thermistor_ohm(celsius: float) -> float:
    """Give the resistance (ohm) of a 10 kohm thermistor, beta 3950 K, at a temperature (C).

    >>> round(thermistor_ohm(0.0))
    33621
    """
    return _R25_OHM * exp(_BETA_K * (1.0 / (max(celsius, -100.0) + 273.15) - 1.0 / _K25))


def thermistor_c(ohm: float) -> float:
    """Give the temperature (C) that a thermistor's resistance (ohm) stands for.

    >>> round(thermistor_c(10_000.0), 1)
    25.0
    """
    return 1.0 / (log(max(ohm, 0.1) / _R25_OHM) / _BETA_K + 1.0 / _K25) - 273.15


def sensor_ohm(sensor: Sensor, felt_c: float) -> float:
    """Give what an ohmmeter shows of a sensor that feels a temperature (C)."""
    shown_c = felt_c + sensor.offset_k
    curve = platinum_ohm if sensor.element == "platinum" else thermistor_ohm
    return curve(shown_c) * (1.0 - sensor.shorted) + sensor.wire_ohm


def sensed_c(sensor: Sensor, ohm: float) -> float | None:
    """Give the temperature (C) that the control unit makes of ohms; None for a short or a gap."""
    if sensor.element == "platinum":
        return None if not 100.0 <= ohm <= 5000.0 else platinum_c(ohm)
    return None if not 20.0 <= ohm < OPEN_OHM / 10.0 else thermistor_c(ohm)
