"""Fuel: heat, density, what a pulsed pump delivers, and how cold it may get."""

from math import exp
from types import MappingProxyType
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between, celsius, one_of

FuelName = Literal["diesel", "kerosene", "jet kerosene"]

MAX_RATE_HZ = 50.0
MAX_DOSE_ML = 1.0
MAX_FUEL_L_PER_H = 20.0


@frozen
class Fuel:
    """Hold a fuel's net heat (MJ/kg) and density at 15 C (kg/m3), each with its bounds.

    `hydrogen_per_carbon` is the atomic ratio by which its combustion air is reckoned.
    """

    name: FuelName
    net_heat_mj_per_kg: float
    net_heat_bounds: tuple[float, float]
    density_15c: float
    density_bounds: tuple[float, float]
    hydrogen_per_carbon: float


# Net heat: IPCC 2006 Guidelines vol. 2 ch. 1 Table 1.2 (bounds from memory).
# Density: EN 590:2022 temperate grades 815 to 845 (815 from memory), the usual 832; burning
# oil 802.6, DESNZ conversion factors (bounds from memory); jet kerosene from memory.
# Hydrogen to carbon: from memory.
FUELS = MappingProxyType(
    {
        "diesel": Fuel("diesel", 43.0, (41.4, 43.3), 832.0, (815.0, 845.0), 1.85),
        "kerosene": Fuel("kerosene", 43.8, (42.4, 45.2), 802.6, (775.0, 840.0), 1.92),
        "jet kerosene": Fuel("jet kerosene", 44.1, (42.0, 45.0), 800.0, (775.0, 840.0), 1.92),
    }
)

# Gross over net heat: 45.7 / 42.7 for diesel, within 0.5 % by GREET and by German heating-oil
# data; HVO has 1.051. Kerosene as diesel, from memory.
GROSS_PER_NET = 1.07

# Cold filter plugging point in C by grade, EN 590: A to F temperate, 0 to 4 arctic.
CFPP_C = MappingProxyType(
    {
        "A": 5.0, "B": 0.0, "C": -5.0, "D": -10.0, "E": -15.0, "F": -20.0,
        "0": -20.0, "1": -26.0, "2": -32.0, "3": -38.0, "4": -44.0,
    }
)  # fmt: skip


def gross_percent(net_percent: float) -> float:
    """Give an efficiency (%) of the gross heat, its steam condensed, from that of the net heat.

    Source: 1.070, diesel of GREET, 45.7 over 42.7 MJ/kg. Raises `PhysicsError` below 0 %.

    >>> round(gross_percent(66.0), 1)
    61.7
    """
    return between("efficiency", net_percent, "%", least=0.0, most=1e9) / GROSS_PER_NET


def fuel(name: FuelName) -> Fuel:
    """Give the data of a fuel by name.

    Source: as stated beside `FUELS`. Raises `PhysicsError` for an unknown name.

    >>> fuel("diesel").net_heat_mj_per_kg
    43.0
    """
    one_of("fuel", name, FUELS)
    return FUELS[name]


def density_kg_per_m3(density_15c: float, temperature_c: float) -> float:
    """Give the density (kg/m3) of a fuel oil at a temperature (C) from that at 15 C.

    Source: ASTM D1250 / API MPMS 11.1 volume correction, exp(-a dT (1 + 0.8 a dT)), with its
    constants for jet and fuel oils (from memory). Raises `PhysicsError` outside 770 to 1000
    kg/m3 or -50 to 100 C.

    >>> round(density_kg_per_m3(832.0, -5.0), 1)
    846.2
    """
    between("fuel density at 15 C", density_15c, "kg/m3", least=770.0, most=1000.0)
    celsius("fuel temperature", temperature_c, least=-50.0, most=100.0)
    rise = temperature_c - 15.0
    if density_15c < 787.5:
        alpha = 2680.3206 / density_15c**2 - 0.00336312
    elif density_15c < 838.5:
        alpha = 594.5418 / density_15c**2
    else:
        alpha = 186.9696 / density_15c**2 + 0.4862 / density_15c
    return density_15c * exp(-alpha * rise * (1 + 0.8 * alpha * rise))


def pulse_rate_hz(pulses: float, seconds: float) -> float:
    """Give a pulse rate (Hz) from a count of pulses in a time (s).

    Source: arithmetic. Raises `PhysicsError` for 0 pulses or no time.

    >>> pulse_rate_hz(150.0, 30.0)
    5.0
    """
    above("pulses", pulses, "1", most=1e6)
    above("counting time", seconds, "s", most=86400.0)
    return above("pulse rate", pulses / seconds, "Hz", most=MAX_RATE_HZ)


def dose_ml(volume_ml: float, pulses: float) -> float:
    """Give the dose (ml per pulse) of a pump that gave a volume (ml) in a count of pulses.

    Source: arithmetic. Raises `PhysicsError` for 0 pulses, or a dose of 0 or above 1 ml.

    >>> dose_ml(2.0, 100.0)
    0.02
    """
    above("measured volume", volume_ml, "ml", most=10000.0)
    above("pulses", pulses, "1", most=1e6)
    return above("dose per pulse", volume_ml / pulses, "ml", most=MAX_DOSE_ML)


def fuel_l_per_h(rate_hz: float, dose_ml_per_pulse: float) -> float:
    """Give the fuel flow (l/h) of a pump by pulse rate (Hz) and dose (ml).

    Source: arithmetic. Raises `PhysicsError` for a rate or dose of 0 or less.

    >>> round(fuel_l_per_h(5.0, 0.02), 3)
    0.36
    """
    above("pulse rate", rate_hz, "Hz", most=MAX_RATE_HZ)
    above("dose per pulse", dose_ml_per_pulse, "ml", most=MAX_DOSE_ML)
    return rate_hz * dose_ml_per_pulse * 3.6


def fuel_power_kw(flow_l_per_h: float, density: float, net_heat_mj_per_kg: float) -> float:
    """Give the heat (kW) in a fuel flow (l/h) of a density (kg/m3) and net heat (MJ/kg).

    Source: arithmetic on the lower heating value. Raises `PhysicsError` for values that no
    heating oil has.

    >>> round(fuel_power_kw(0.36, 832.0, 43.0), 3)
    3.578
    """
    above("fuel flow", flow_l_per_h, "l/h", most=MAX_FUEL_L_PER_H)
    between("fuel density", density, "kg/m3", least=700.0, most=1000.0)
    between("net heat of the fuel", net_heat_mj_per_kg, "MJ/kg", least=30.0, most=50.0)
    return flow_l_per_h * density * net_heat_mj_per_kg / 3600


def pump_power_kw(
    rate_hz: float, dose_ml_per_pulse: float, name: FuelName = "diesel", fuel_c: float = 15.0
) -> float:
    """Give the heat (kW) that a pump delivers by pulse rate (Hz), dose (ml), fuel and C.

    Source: as for `fuel_power_kw` and `density_kg_per_m3`. Raises `PhysicsError` as they do.

    >>> round(pump_power_kw(3.0, 0.02), 2)
    2.15
    """
    oil = fuel(name)
    density = density_kg_per_m3(oil.density_15c, fuel_c)
    flow = fuel_l_per_h(rate_hz, dose_ml_per_pulse)
    return fuel_power_kw(flow, density, oil.net_heat_mj_per_kg)


def hours_per_tank(tank_l: float, flow_l_per_h: float) -> float:
    """Give the hours that a tank (l) lasts at a fuel flow (l/h).

    Source: arithmetic. Raises `PhysicsError` for a tank or flow of 0 or less.

    >>> hours_per_tank(9.0, 0.36)
    25.0
    """
    above("tank", tank_l, "l", most=10000.0)
    above("fuel flow", flow_l_per_h, "l/h", most=MAX_FUEL_L_PER_H)
    return tank_l / flow_l_per_h


def cold_filter_limit_c(grade: str) -> float:
    """Give the cold filter plugging point (C) that a diesel grade must meet.

    Source: EN 590, grades A to F and 0 to 4. Raises `PhysicsError` for another grade.

    >>> cold_filter_limit_c("F")
    -20.0
    """
    one_of("diesel grade", grade, CFPP_C)
    return CFPP_C[grade]


def mildest_grade_for(temperature_c: float) -> str:
    """Give the mildest diesel grade whose filter limit is at or below a temperature (C).

    Source: EN 590. Raises `PhysicsError` below -44 C, where no grade will do.

    >>> mildest_grade_for(-12.0)
    'E'
    """
    celsius("fuel temperature", temperature_c, least=-100.0, most=100.0)
    for grade, limit_c in CFPP_C.items():
        if limit_c <= temperature_c:
            return grade
    raise PhysicsError(
        f"`fuel temperature` is {temperature_c:g} C: expected -44 C or warmer, the limit of the "
        "coldest diesel grade"
    )
