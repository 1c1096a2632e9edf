"""The flame: what wets and lights it, how rich it burns, and what leaves with the gas."""

from __future__ import annotations

from math import exp

from diag.model.frozen import frozen
from diag.physics.combustion.stoichiometry import OXYGEN_IN_AIR, combustion_of
from diag.physics.interpolation import along
from diag.workshop.heater import Heater, once

HYDROGEN_PER_CARBON = 1.85
_COMBUSTION = combustion_of(HYDROGEN_PER_CARBON)
AIR_KG_PER_KG = _COMBUSTION.air_kg_per_kg
_MOST_CO2 = _COMBUSTION.co2_max_percent / 100.0
_OXYGEN_PER_CARBON = 1.0 + HYDROGEN_PER_CARBON / 4.0

# Smoke spot and carbon monoxide (ppm, undiluted) by air ratio: memory of small vaporising
# burners; spots 0 to 1 and some tens of ppm where sound, both steep towards 1.
_SPOT = (
    (0.6, 9.0), (0.8, 8.0), (0.95, 6.0), (1.05, 4.0), (1.15, 2.4), (1.25, 1.4), (1.4, 0.6),
    (1.6, 0.3), (2.5, 0.1),
)  # fmt: skip
_CO_PPM = (
    (0.6, 60_000.0), (0.8, 25_000.0), (0.95, 6_000.0), (1.05, 1_200.0), (1.15, 400.0),
    (1.3, 130.0), (1.5, 70.0), (2.0, 80.0), (3.0, 400.0), (4.0, 1_500.0),
)  # fmt: skip

_COLD_CO_PPM, _COLD_CO_S = 1_500.0, 20.0  # a young flame against cold walls: memory

LEANEST = 4.5  # air ratio beyond which a flame goes out: memory
_RICHEST = 0.35  # a flame short of air gives back no more heat to evaporate with: memory
_LEAST_AIR_KG_PER_S = 8e-5
_LIGHTS_C, _LIGHTS_WELL_C = 800.0, 980.0  # plug tip: memory
_DRY_ML = 0.25
_FLOODED_ML = 8.0
_PATIENCE_S = 9.0


@frozen
class Gas:
    """Hold what leaves the burner: air ratio, dry O2 and CO2 (%), CO (ppm), spot, share burnt."""

    air_ratio: float
    o2_percent: float
    co2_percent: float
    co_ppm: float
    smoke_spot: float
    burnt: float


AIR_ONLY = Gas(99.0, 100.0 * OXYGEN_IN_AIR, 0.04, 0.0, 0.0, 0.0)


def gas_of(heater: Heater, air_kg_per_s: float, fuel_kg_per_s: float, flame_s: float) -> Gas:
    """Give the gas of a flame that has this much air and vapour and has stood for a time (s).

    The dry gas is a mole balance of CHx with 20.95 % oxygen; carbon and a burnt-through burner mix
    worse, so that part of the flame burns richer than the whole.
    """
    if fuel_kg_per_s <= 0.0:
        return AIR_ONLY
    ratio = air_kg_per_s / (fuel_kg_per_s * AIR_KG_PER_KG)
    mixed = ratio * _mixes(heater)
    burnt = 0.998 * min(1.0, ratio)
    o2 = _OXYGEN_PER_CARBON * (ratio - burnt)
    nitrogen = ratio * _OXYGEN_PER_CARBON * (1.0 - OXYGEN_IN_AIR) / OXYGEN_IN_AIR
    dry = o2 + burnt + nitrogen
    dilution = burnt / dry
    cold_ppm = _COLD_CO_PPM * exp(-flame_s / _COLD_CO_S)
    co_ppm = (along(_CO_PPM, mixed) + cold_ppm) * dilution / _MOST_CO2
    return Gas(ratio, 100 * o2 / dry, 100 * dilution, co_ppm, along(_SPOT, mixed), burnt)


@once
def _mixes(heater: Heater) -> float:
    """Give how much leaner than the worst part of its flame the whole is, as a share."""
    burner, fuel = heater.burner, heater.fuel
    mixes = (1.0 - 0.35 * burner.carbon) * (1.0 - 0.3 * burner.burnt_through)
    return mixes * (1.0 - 0.1 * fuel.petrol - 0.02 * min(5.0, fuel.age_years))


def stands(ratio: float, air_kg_per_s: float, heater: Heater) -> bool:
    """Say whether a flame of this air ratio can stand in the burner; water puts it out."""
    return air_kg_per_s > _LEAST_AIR_KG_PER_S and ratio <= LEANEST * (
        1.0 - min(0.9, 1.5 * heater.fuel.water)
    )


def most_vapour_kg_per_s(air_kg_per_s: float) -> float:
    """Give the most vapour (kg/s) that a flame with this air raises from a pool of any size."""
    return air_kg_per_s / (AIR_KG_PER_KG * _RICHEST)


def vapour_ml_per_s(pool_ml: float, flame_s: float, plug_c: float, screen: float) -> float:
    """Give how fast pooled fuel evaporates (ml/s): quickly in a warm flame, slowly at the plug.

    `flame_s` is how long the flame has stood, 0 without; `screen` how clogged the screen is.
    """
    if flame_s > 0.0:
        slow_s = 4.0 + 16.0 * max(0.0, 1.0 - flame_s / 70.0) + 8.0 * screen
    elif plug_c > 300.0:
        slow_s = 60.0
    else:
        slow_s = 2000.0
    return pool_ml / slow_s


def kindled(heater: Heater, pool_ml: float, plug_c: float, air_kg_per_s: float) -> float:
    """Give how fast ignition comes nearer (1/s): 1 in all lights the flame."""
    if air_kg_per_s <= 1e-5 or pool_ml <= 0.02:
        return 0.0
    hot = max(0.0, min(1.15, (plug_c - _LIGHTS_C) / (_LIGHTS_WELL_C - _LIGHTS_C)))
    wet = min(1.0, pool_ml / _DRY_ML) * max(0.05, 1.0 - max(0.0, pool_ml - _FLOODED_ML) / 15.0)
    return hot * wet * _willing(heater) / _PATIENCE_S


@once
def _willing(heater: Heater) -> float:
    """Give how well a hot plug lights a wet screen, by how the glow gets there and the fuel."""
    reaches = (1.0 - heater.glow_plug.deposit) * (1.0 - 0.97 * heater.screen.clogging)
    reaches *= max(0.0, 1.0 - heater.screen.gap_mm / 4.0)
    fuel = heater.fuel
    cold = 1.0 / (1.0 + max(0.0, 20.0 - fuel.temperature_c) / 60.0)
    good = (1.0 - min(1.0, 2.0 * fuel.water)) * (1.0 - 0.08 * min(5.0, fuel.age_years))
    return reaches * cold * good
