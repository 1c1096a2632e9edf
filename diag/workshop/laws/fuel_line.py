"""The fuel line: what the pump has to suck against, and what each stroke brings."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.physics.interpolation import along
from diag.workshop.heater import Heater, once
from diag.workshop.parts.fuel import FuelPart

_KPA_PER_M = 8.2  # head of diesel
# Viscosity of light winter diesel (mm2/s) by temperature (C): Walther curve, EN 590 limit at 40 C.
_VISCOSITY = ((-30.0, 13.0), (-20.0, 8.8), (-10.0, 6.3), (0.0, 4.7), (10.0, 3.6), (20.0, 2.9),
              (40.0, 2.0))  # fmt: skip
_HOSE_KPA_PER_M = 0.8 / 0.3 / 4.5  # Hagen-Poiseuille, per l/h and mm2/s, 2 mm bore
_PULSED_SUCTION = 4.0  # less, since soft hose evens it out: memory
_PULSED = 8.0  # a stroke's flow against the mean: 5 to 13
_FILTER_KPA = 0.5  # clean, per l/h and mm2/s: memory
# Dose by suction (kPa) and by volts at the coil: memory.
_BY_SUCTION = ((0.0, 1.0), (15.0, 0.99), (30.0, 0.85), (50.0, 0.45), (80.0, 0.0))
_BY_VOLTS = ((6.0, 0.0), (7.0, 0.5), (8.5, 1.0))
_BY_PRESSURE = ((0.0, 1.0), (60.0, 0.98), (150.0, 0.7), (400.0, 0.0))
_SLUG_S = 30.0
_BROKEN_OHM = 1000.0
_LINE_FILTER_ML = 8.0


@frozen
class Stroke:
    """Hold what the line gives now: suction (kPa), share of air, dose of fuel a pulse (ml)."""

    suction_kpa: float
    air_share: float
    dose_ml: float


def viscosity_mm2_per_s(fuel: FuelPart) -> float:
    """Give the fuel's viscosity (mm2/s), thinner by what petrol is in it."""
    return along(_VISCOSITY, fuel.temperature_c) * (1.0 - 0.7 * fuel.petrol)


def waxed(fuel: FuelPart) -> float:
    """Give how far wax or ice shuts a filter, 0 to 1."""
    wax = (fuel.wax_temperature_c - fuel.temperature_c) / 5.0 * (1.0 - fuel.petrol)
    ice = 4.0 * fuel.water if fuel.temperature_c < -1.0 else 0.0
    return min(1.0, max(0.0, wax, ice))


@once
def line_ml(heater: Heater) -> float:
    """Give what the suction side holds (ml) when full."""
    hose = heater.suction_hose
    return 3.14159265 / 4.0 * hose.bore_mm**2 * hose.length_m + _LINE_FILTER_ML


@once
def draws_air(heater: Heater) -> bool:
    """Say whether the pickup ends above the fuel."""
    return heater.tank.level_l <= heater.standpipe.draws_air_below_l


def suction_kpa(heater: Heater, l_per_h: float, tank_vacuum_kpa: float) -> float:
    """Give what the pump sucks against (kPa): lift, hose, filter with wax, and a shut vent."""
    lift_kpa = heater.standpipe.lift_m * _KPA_PER_M
    return lift_kpa + _suction_kpa_per_l_per_h(heater) * l_per_h + tank_vacuum_kpa


@once
def _suction_kpa_per_l_per_h(heater: Heater) -> float:
    hose = heater.suction_hose
    narrow = (2.0 / hose.bore_mm) ** 4 / max(0.05, 1.0 - hose.collapse) ** 4
    through = max(0.02, (1.0 - heater.filter.clogging) * (1.0 - waxed(heater.fuel)))
    hose_kpa = _HOSE_KPA_PER_M * _PULSED_SUCTION * hose.length_m * narrow
    return viscosity_mm2_per_s(heater.fuel) * (hose_kpa + _FILTER_KPA / through**2)


@once
def _pressure_kpa_per_l_per_h(heater: Heater) -> float:
    hose = heater.delivery_hose
    narrow = (2.0 / hose.bore_mm) ** 4 / max(0.1, 1.0 - hose.kink) ** 4
    thick = viscosity_mm2_per_s(heater.fuel)
    return _HOSE_KPA_PER_M * _PULSED * hose.length_m * thick * narrow


@once
def _coil_is_whole(heater: Heater) -> bool:
    """Say whether current can flow in the coil; volts stand across a broken one too."""
    return heater.pump.coil_resistance_ohm < _BROKEN_OHM


def moves(heater: Heater, coil_v: float) -> bool:
    """Say whether the piston can be heard to move at these volts at the coil."""
    enough = coil_v * 12.0 / heater.battery.nominal_v > _BY_VOLTS[0][0]
    return enough and heater.pump.stuck < 0.95 and _coil_is_whole(heater)


@once
def _full_ml(heater: Heater) -> float:
    """Give what a stroke takes up (ml) where nothing resists."""
    pump = heater.pump
    return pump.dose_ml_per_100 / 100.0 * (1.0 + pump.dosing_error)


@once
def _free_dose_ml(heater: Heater) -> float:
    """Give what the pump as it is brings (ml) with full volts and where nothing resists."""
    pump = heater.pump
    whole = (1.0 - pump.stuck) * _coil_is_whole(heater)
    return _full_ml(heater) * whole * (1.0 - 0.9 * pump.wear) * (1.0 + 0.6 * pump.passing)


def stroke_of(
    heater: Heater, rate_hz: float, coil_v: float, tank_vacuum_kpa: float, at_s: float
) -> Stroke:
    """Give what a pulse brings at a rate (Hz) and volts at the coil, at a time (s).

    Air on the suction side comes in slugs, a share of each half minute.
    """
    l_per_h = _full_ml(heater) * rate_hz * 3.6
    suction = suction_kpa(heater, l_per_h, tank_vacuum_kpa)
    air_share = min(0.97, heater.suction_hose.air_leak * max(0.0, suction) / 10.0)
    slug = (at_s % _SLUG_S) / _SLUG_S < air_share
    if slug:
        return Stroke(suction, air_share, 0.0)
    dose = (
        _free_dose_ml(heater)
        * along(_BY_SUCTION, suction)
        * along(_BY_PRESSURE, _pressure_kpa_per_l_per_h(heater) * l_per_h)
        * along(_BY_VOLTS, coil_v * 12.0 / heater.battery.nominal_v)
    )
    return Stroke(suction, air_share, dose)
