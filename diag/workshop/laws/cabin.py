"""The air of the cabin: warmth and carbon monoxide in one well-mixed zone."""

from __future__ import annotations

from math import exp

from diag.workshop.heater import Heater, once
from diag.workshop.parts.warm_air import Cabin


def diluted_ppm(cabin: Cabin, ppm: float, source_m3_per_s: float, dt_s: float) -> float:
    """Give the CO (ppm) after a time (s) with a steady source (m3/s of pure gas).

    Source: mass balance of one well-mixed zone, V dC/dt = G - Q C, in closed form.

    >>> round(diluted_ppm(small.cabin, 100.0, 0.0, 3600.0 * 10 / 12), 2)
    36.79
    """
    fresh_m3_per_s = cabin.ventilation_m3_per_h / 3600.0
    if fresh_m3_per_s <= 0.0:
        return ppm + 1e6 * source_m3_per_s * dt_s / cabin.volume_m3
    steady = 1e6 * source_m3_per_s / fresh_m3_per_s
    return steady + (ppm - steady) * exp(-fresh_m3_per_s * dt_s / cabin.volume_m3)


def leaked_m3_per_s(heater: Heater, gas_kg_per_s: float, co_ppm: float) -> float:
    """Give the CO (m3/s) that finds its way into the cabin from exhaust, crack and gasket.

    The exchanger and the gasket leak straight into the warm air; the exhaust's leak only by the
    share that is not blown away.
    """
    return gas_kg_per_s / 1.2 * _leaked_share(heater) * co_ppm * 1e-6


@once
def _leaked_share(heater: Heater) -> float:
    exhaust = heater.exhaust
    share = exhaust.leak * exhaust.into_cabin
    share += 0.3 * heater.exchanger.crack + 0.2 * heater.gasket.leak
    share += 0.1 * exhaust.blockage * exhaust.leak
    return min(1.0, share)


def warmed_c(heater: Heater, cabin_c: float, heat_w: float, dt_s: float) -> float:
    """Give the cabin's temperature (C) after a step of time (s) with a heat (W) blown in."""
    cabin = heater.cabin
    lost_w = cabin.loss_w_per_k * (cabin_c - heater.weather.temperature_c)
    return cabin_c + (heat_w - lost_w) * dt_s / (cabin.heat_capacity_kj_per_k * 1000.0)
