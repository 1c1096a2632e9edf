"""What brings the fuel: tank, pickup, hoses, filter, pump, and the fuel itself."""

from typing import Annotated

from diag.model.frozen import frozen
from diag.workshop.amount import Amount, Celsius, Litres, Metres, Millimetres, Ohm, Share

Wear = Annotated[float, Amount("1", 0.0, 1.0)]


@frozen
class Pump:
    """A metering pump: a coil that drives a piston, one dose a pulse."""

    coil_resistance_ohm: Ohm
    dose_ml_per_100: Annotated[float, Amount("ml/100", 0.1, 30.0)]
    dosing_error: Annotated[float, Amount("1", -0.9, 2.0)]
    """Share by which each dose is too large or too small."""
    wear: Wear
    stuck: Share
    """1 is a piston that does not move at all."""
    passing: Share
    """How far its valve lets fuel back or through."""
    pulse_s: Annotated[float, Amount("s", 0.005, 0.2)]


@frozen
class PumpConnector:
    """The connector and wire of the pump."""

    resistance_ohm: Ohm


@frozen
class SuctionHose:
    """The hose from the pickup to the pump."""

    length_m: Metres
    bore_mm: Millimetres
    collapse: Share
    air_leak: Annotated[float, Amount("1", 0.0, 10.0)]
    """Share of the flow that comes as air at 10 kPa of suction."""


@frozen
class DeliveryHose:
    """The hose from the pump to the burner."""

    length_m: Metres
    bore_mm: Millimetres
    kink: Share
    leak: Share


@frozen
class Filter:
    """The fuel filter before the pump."""

    clogging: Share


@frozen
class Tank:
    """The tank, its level and its vent."""

    level_l: Litres
    vent_blockage: Share


@frozen
class Standpipe:
    """The pickup in the tank: at what level it draws air, and how far fuel is lifted from it."""

    draws_air_below_l: Litres
    lift_m: Annotated[float, Amount("m", -2.0, 6.0)]


@frozen
class FuelPart:
    """What is in the tank, and where wax begins to block a filter."""

    temperature_c: Celsius
    wax_temperature_c: Celsius
    water: Share
    petrol: Share
    age_years: Annotated[float, Amount("years", 0.0, 20.0)]
    density_15c_kg_per_m3: Annotated[float, Amount("kg/m3", 770.0, 900.0)]
    net_heat_mj_per_kg: Annotated[float, Amount("MJ/kg", 30.0, 46.0)]
