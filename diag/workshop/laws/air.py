"""Both streams of air: fan laws against the resistance of the path, and the gas that leaves."""

from __future__ import annotations

from math import sqrt

from diag.physics.heat.air import air_density_kg_per_m3
from diag.physics.heat.atmosphere import pressure_at_altitude_pa
from diag.workshop.heater import Heater, once

_INNER = 0.6  # a fan's own resistance against that of its path: memory
_LEAST_OPEN = 0.02
_ZERO_K = 273.15


def density_at_height_kg_per_m3(heater: Heater, celsius: float) -> float:
    """Give the density of air (kg/m3) at a temperature (C) and the unit's height above the sea."""
    return _kg_k_per_m3(heater) / (min(390.0, celsius) + _ZERO_K)


@once
def _kg_k_per_m3(heater: Heater) -> float:
    """Give the density of air times its kelvin, which is the same at all of them (ideal gas)."""
    return air_density_kg_per_m3(0.0, pressure_at_altitude_pa(heater.weather.altitude_m)) * _ZERO_K


def _narrowed(blockage: float) -> float:
    """Give by how much a path that is closed by a share of its area resists more."""
    return 1.0 / max(_LEAST_OPEN, 1.0 - blockage) ** 2


def _flow(output: float, resistance: float) -> float:
    """Give the flow flat out against a sound unit's: the fan laws, p ~ n2 and V ~ n."""
    return output * sqrt((1.0 + _INNER) / (_INNER + resistance))


def combustion_resistance(heater: Heater) -> float:
    """Give the resistance of intake, burner and exhaust against that of a new unit."""
    exhaust = heater.exhaust
    length = 0.6 + 0.4 * exhaust.length_m
    return (
        0.2 * _narrowed(heater.intake.blockage)
        + 0.4 * _narrowed(0.6 * heater.burner.carbon)
        + 0.4 * length * _narrowed(exhaust.blockage * (1.0 - 0.8 * exhaust.leak))
    )


def combustion_air_kg_per_s(heater: Heater, speed_share: float) -> float:
    """Give the air (kg/s) that reaches the flame at a share of full speed."""
    return speed_share * _combustion_air_flat_out_kg_per_s(heater)


@once
def _combustion_air_flat_out_kg_per_s(heater: Heater) -> float:
    wheel = heater.combustion_wheel
    flow = _flow(wheel.output, combustion_resistance(heater))
    reaches = 1.0 - 0.5 * heater.gasket.leak
    density = density_at_height_kg_per_m3(heater, heater.weather.temperature_c)
    return flow * wheel.free_flow_m3_per_h / 3600.0 * density * reaches


def duct_resistance(heater: Heater) -> float:
    """Give the resistance of inlet, body, duct and outlets against that of a usual fitting.

    Friction in a rough duct goes with length over the fifth power of its bore (Darcy).
    """
    duct = heater.duct
    friction = duct.length_m / 2.0 * (60.0 / duct.bore_mm) ** 5 * _narrowed(duct.crushed)
    beyond = 0.3 * friction * _narrowed(duct.blockage) + 0.2 * _narrowed(1.0 - heater.outlets.open)
    # What leaks need not pass the rest of the duct.
    return 0.2 * _narrowed(heater.inlet.blockage) + 0.3 + beyond * (1.0 - 0.7 * duct.leak)


def warm_air_kg_per_s(heater: Heater, speed_share: float, inlet_c: float) -> float:
    """Give the warm air (kg/s) through the body at a share of full speed."""
    density = density_at_height_kg_per_m3(heater, inlet_c)
    return speed_share * _warm_air_flat_out_m3_per_s(heater) * density


@once
def _warm_air_flat_out_m3_per_s(heater: Heater) -> float:
    wheel = heater.warm_air_wheel
    return _flow(wheel.output, duct_resistance(heater)) * wheel.free_flow_m3_per_h / 3600.0


def outlet_centre_m_per_s(heater: Heater, warm_kg_per_s: float, outlet_c: float) -> float:
    """Give the speed (m/s) in the middle of the unit's own outlet, hot as it is.

    The middle is a turbulent profile's largest, 1/0.817 of the mean (Prandtl, Nikuradse, n = 7).
    """
    volume = warm_kg_per_s / density_at_height_kg_per_m3(heater, outlet_c)
    area_m2 = 3.14159265 * (heater.warm_air_wheel.outlet_mm / 2000.0) ** 2
    return volume / area_m2 / 0.81667
