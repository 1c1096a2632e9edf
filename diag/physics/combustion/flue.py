"""Flue gas: excess air, loss, pairs that cannot be, and the smoke spot."""

from collections.abc import Sequence
from types import MappingProxyType
from typing import Literal

from diag.physics.combustion.stoichiometry import combustion_of
from diag.physics.errors import PhysicsError, above, between, celsius, one_of
from diag.physics.interpolation import along

FlueFuel = Literal["light oil", "natural gas", "LPG"]

# A1, A2, B of the Siegert formula, 1. BImSchV (2010) annex 2 no. 3.4 and DIN EN 50379.
SIEGERT = MappingProxyType(
    {
        "light oil": (0.50, 0.68, 0.007),
        "natural gas": (0.37, 0.66, 0.009),
        "LPG": (0.42, 0.63, 0.008),
    }
)
SIEGERT_OXYGEN_PERCENT = 21.0  # the round value that the Siegert constants belong to
AIR_OXYGEN_PERCENT = 20.95
LIGHT_OIL_HYDROGEN_PER_CARBON = 1.85
PAIR_TOLERANCE_PERCENT = 1.0  # of CO2: two cells' errors together; common practice, no source

# Light through the filter in percent by smoke spot, ASTM D2156 sec. 5.2.
SPOT_TRANSMISSION = ((0.0, 100.0), (2.0, 95.0), (4.0, 80.0), (6.0, 54.0), (8.0, 18.0), (9.0, 0.0))
WHITE_PERCENT = 85.0  # reflectance of the clean paper, DIN 51402-1


def _rise_k(flue_c: float, air_c: float) -> float:
    celsius("flue gas temperature", flue_c, least=-30.0, most=1200.0)
    celsius("combustion air temperature", air_c, least=-50.0, most=100.0)
    if flue_c < air_c:
        raise PhysicsError(
            f"`flue gas temperature` is {flue_c:g} C: expected at least the combustion air's, "
            f"{air_c:g} C"
        )
    return flue_c - air_c


def siegert_loss_from_o2(
    flue_c: float, air_c: float, o2_percent: float, name: FlueFuel = "light oil"
) -> float:
    """Give the flue loss (% of net heat) from flue gas and air (C) and oxygen (%, dry).

    Source: 1. BImSchV (2010) annex 2 no. 3.4, (tA - tL) (A2 / (21 - O2) + B), within 1.3 % of a
    full balance up to 350 C; at 450 C it is 2.4 % low, at 600 C 4.2 %. Raises `PhysicsError`
    for oxygen outside 0 to 20 % or a flue gas colder than the air.

    >>> round(siegert_loss_from_o2(180.0, 20.0, 4.0), 3)
    7.52
    """
    one_of("flue fuel", name, SIEGERT)
    between("oxygen in the flue gas", o2_percent, "%", least=0.0, most=20.0)
    _, a2, b = SIEGERT[name]
    return _rise_k(flue_c, air_c) * (a2 / (SIEGERT_OXYGEN_PERCENT - o2_percent) + b)


def siegert_loss_from_co2(
    flue_c: float, air_c: float, co2_percent: float, name: FlueFuel = "light oil"
) -> float:
    """Give the flue loss (% of net heat) from flue gas and air (C) and CO2 (%, dry).

    Source: 1. BImSchV (2010) annex 2 no. 3.4, (tA - tL) (A1 / CO2 + B). Raises `PhysicsError`
    for CO2 of 0 or above the fuel's maximum, or a flue gas colder than the air.

    >>> round(siegert_loss_from_co2(200.0, 20.0, 12.0), 2)
    8.76
    """
    co2_max = siegert_co2_max(name)
    above("carbon dioxide in the flue gas", co2_percent, "%", most=round(co2_max, 2))
    a1, _, b = SIEGERT[name]
    return _rise_k(flue_c, air_c) * (a1 / co2_percent + b)


def siegert_co2_max(name: FlueFuel = "light oil") -> float:
    """Give the most CO2 (%, dry) that a fuel can make, as the Siegert constants have it.

    Source: 21 A1 / A2 of 1. BImSchV (2010). Raises `PhysicsError` for an unknown fuel.

    >>> round(siegert_co2_max(), 2)
    15.44
    """
    one_of("flue fuel", name, SIEGERT)
    a1, a2, _ = SIEGERT[name]
    return SIEGERT_OXYGEN_PERCENT * a1 / a2


def air_ratio_from_o2(
    o2_percent: float, hydrogen_per_carbon: float = LIGHT_OIL_HYDROGEN_PER_CARBON
) -> float:
    """Give the air ratio (1 is just enough) from oxygen (%, dry) by stoichiometry.

    Source: oxygen balance of the dry gas, 1 + (Vdry / Lmin) O2 / (20.95 - O2). Raises
    `PhysicsError` for oxygen outside 0 to 20 %.

    >>> round(air_ratio_from_o2(5.0), 3)
    1.293
    """
    between("oxygen in the flue gas", o2_percent, "%", least=0.0, most=20.0)
    oil = combustion_of(hydrogen_per_carbon)
    dry_per_air = oil.dry_gas_m3_per_kg / oil.air_m3_per_kg
    return 1 + dry_per_air * o2_percent / (AIR_OXYGEN_PERCENT - o2_percent)


def air_ratio_from_co2(
    co2_percent: float, hydrogen_per_carbon: float = LIGHT_OIL_HYDROGEN_PER_CARBON
) -> float:
    """Give the air ratio (1 is just enough) from carbon dioxide (%, dry) by stoichiometry.

    Source: carbon balance of the dry gas, 1 + (Vdry / Lmin) (CO2max / CO2 - 1). Raises
    `PhysicsError` for CO2 of 0 or above the fuel's maximum.

    >>> round(air_ratio_from_co2(11.68), 3)
    1.293
    """
    oil = combustion_of(hydrogen_per_carbon)
    above("carbon dioxide in the flue gas", co2_percent, "%", most=round(oil.co2_max_percent, 2))
    dry_per_air = oil.dry_gas_m3_per_kg / oil.air_m3_per_kg
    return 1 + dry_per_air * (oil.co2_max_percent / co2_percent - 1)


def excess_air_percent(air_ratio: float) -> float:
    """Give the excess air (%) of an air ratio (1).

    Source: definition. Raises `PhysicsError` for a ratio of 0 or less.

    >>> round(excess_air_percent(1.3))
    30
    """
    above("air ratio", air_ratio, "1", most=100.0)
    return 100 * (air_ratio - 1)


def co2_from_o2(o2_percent: float, name: FlueFuel = "light oil") -> float:
    """Give the CO2 (%, dry) that belongs to an oxygen (%, dry) in complete burning.

    Source: CO2max (21 - O2) / 21, 1. BImSchV (2010) constants. Raises `PhysicsError` for
    oxygen outside 0 to 21 %.

    >>> round(co2_from_o2(5.0), 2)
    11.76
    """
    between("oxygen in the flue gas", o2_percent, "%", least=0.0, most=SIEGERT_OXYGEN_PERCENT)
    left = SIEGERT_OXYGEN_PERCENT - o2_percent
    return siegert_co2_max(name) * left / SIEGERT_OXYGEN_PERCENT


def undiluted_ppm(ppm: float, o2_percent: float) -> float:
    """Give a gas (ppm, dry) as it would read with no spare air, from the oxygen (%, dry) beside it.

    Source: dilution with air of 20.95 % oxygen, ppm 20.95 / (20.95 - O2). Raises `PhysicsError`
    for ppm outside 0 to 100000 or oxygen outside 0 to 20 %.

    >>> round(undiluted_ppm(80.0, 9.0), 1)
    140.3
    """
    between("carbon monoxide", ppm, "ppm", least=0.0, most=100000.0)
    between("oxygen in the flue gas", o2_percent, "%", least=0.0, most=20.0)
    return ppm * AIR_OXYGEN_PERCENT / (AIR_OXYGEN_PERCENT - o2_percent)


def check_flue_pair(
    o2_percent: float,
    co2_percent: float,
    name: FlueFuel = "light oil",
    tolerance_percent: float = PAIR_TOLERANCE_PERCENT,
) -> float:
    """Give by how much CO2 (%) stands off what its oxygen (%) allows, refusing impossible pairs.

    Source: CO2max line of 1. BImSchV (2010); the tolerance is common practice. Raises
    `PhysicsError` for a pair further off than the tolerance (% of CO2).

    >>> round(check_flue_pair(5.0, 11.5), 2)
    -0.26
    """
    above("tolerance", tolerance_percent, "%", most=10.0)
    between("carbon dioxide in the flue gas", co2_percent, "%", least=0.0, most=100.0)
    belongs = co2_from_o2(o2_percent, name)
    if abs(co2_percent - belongs) > tolerance_percent:
        raise PhysicsError(
            f"`carbon dioxide in the flue gas` is {co2_percent:g} % with {o2_percent:g} % oxygen: "
            f"expected {belongs:.1f} % within {tolerance_percent:g} %, since {name} cannot make "
            "another pair"
        )
    return co2_percent - belongs


def loss_limit_percent(power_kw: float) -> float:
    """Give the flue loss (%) allowed to a fixed oil or gas plant of a power (kW).

    Source: 1. BImSchV sec. 10; a yardstick only, since it does not bind small mobile units.
    Raises `PhysicsError` below 4 kW, where it sets no limit.

    >>> loss_limit_percent(20.0)
    11.0
    """
    between("plant power", power_kw, "kW", least=4.0, most=1e5)
    if power_kw <= 25.0:
        return 11.0
    return 10.0 if power_kw <= 50.0 else 9.0


def spot_reflectance_percent(spot: float) -> float:
    """Give the reflectance (%) of a smoke spot number (0 white to 9).

    Source: ASTM D2156 and DIN 51402-1, 85 (1 - k/10) (step rule from memory). Raises
    `PhysicsError` outside 0 to 9.

    >>> spot_reflectance_percent(2.0)
    68.0
    """
    between("smoke spot number", spot, "1", least=0.0, most=9.0)
    return WHITE_PERCENT * (1 - spot / 10)


def spot_transmission_percent(spot: float) -> float:
    """Give the light (%) that flue gas of a smoke spot number (0 to 9) lets through.

    Source: ASTM D2156 sec. 5.2, linear between the printed spots. Raises `PhysicsError`
    outside 0 to 9.

    >>> spot_transmission_percent(4.0)
    80.0
    """
    between("smoke spot number", spot, "1", least=0.0, most=9.0)
    return along(SPOT_TRANSMISSION, spot)


def mean_smoke_spot(spots: Sequence[float]) -> float:
    """Give the mean of three or more smoke spot numbers, each of ten strokes.

    Source: DIN 51402 and 1. BImSchV (2010) sec. 7. Raises `PhysicsError` for fewer than three or a
    number outside 0 to 9.

    >>> mean_smoke_spot([1.0, 0.0, 2.0])
    1.0
    """
    if len(spots) < 3:
        raise PhysicsError(f"`smoke spots` are {len(spots)}: expected three or more")
    for spot in spots:
        between("smoke spot number", spot, "1", least=0.0, most=9.0)
    return sum(spots) / len(spots)
