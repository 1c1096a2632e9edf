"""The glow plug: its resistance as it heats, and how hot it gets."""

from __future__ import annotations

from diag.workshop.parts.ignition import GlowPlug

_STEFAN_W_PER_M2_K4 = 5.670e-8
_EMISSIVITY = 0.8  # oxidised steel or ceramic: from memory


def resistance_ohm(plug: GlowPlug, celsius: float) -> float:
    """Give its resistance (ohm) at a temperature (C)."""
    factor = 1.0 + plug.temperature_coefficient_per_k * (celsius - 20.0)
    return plug.cold_resistance_ohm * max(factor, 0.2)


def loss_w(plug: GlowPlug, celsius: float, around_c: float) -> float:
    """Give the heat (W) that it loses to air and by radiation at a temperature (C)."""
    radiated = (celsius + 273.15) ** 4 - (around_c + 273.15) ** 4
    area_m2 = plug.radiating_area_cm2 * 1e-4
    return (
        plug.conductance_w_per_k * (celsius - around_c)
        + _EMISSIVITY * _STEFAN_W_PER_M2_K4 * area_m2 * radiated
    )


def warmed_c(plug: GlowPlug, celsius: float, around_c: float, watts: float, dt_s: float) -> float:
    """Give its temperature (C) after a step of time (s) with a heating power (W)."""
    gained_j = (watts - loss_w(plug, celsius, around_c)) * dt_s
    return max(celsius + gained_j / plug.heat_capacity_j_per_k, -60.0)


def settled_c(plug: GlowPlug, volts: float, series_ohm: float, around_c: float = 20.0) -> float:
    """Give where its temperature (C) settles behind a steady voltage and a resistance.

    >>> 850.0 < settled_c(small.glow_plug, 12.0, 0.05) < 1050.0
    True
    """
    low, high = around_c, 1800.0
    for _ in range(50):
        middle = (low + high) / 2.0
        ohm = resistance_ohm(plug, middle)
        watts = (volts / (ohm + series_ohm)) ** 2 * ohm
        low, high = (middle, high) if watts > loss_w(plug, middle, around_c) else (low, middle)
    return low
