"""The standard atmosphere, and what thin air does to a mixture."""

from diag.physics.errors import between

SEA_LEVEL_PA = 101325.0
SEA_LEVEL_K = 288.15
SEA_LEVEL_KG_PER_M3 = 1.225
LAPSE_K_PER_M = 0.0065
EARTH_RADIUS_M = 6356766.0
AIR_J_PER_KG_K = 287.05287  # specific gas constant of dry air
EXPONENT = 9.80665 / (AIR_J_PER_KG_K * LAPSE_K_PER_M)
LOWEST_M, HIGHEST_M = -500.0, 11000.0


def geopotential_m(altitude_m: float) -> float:
    """Give the geopotential altitude (m) of a geometric altitude (m above sea level).

    Source: ISO 2533:1975, r h / (r + h). Raises `PhysicsError` outside -500 to 11000 m.

    >>> round(geopotential_m(4000.0), 1)
    3997.5
    """
    between("altitude", altitude_m, "m", least=LOWEST_M, most=HIGHEST_M)
    return EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m)


def pressure_at_geopotential_pa(
    geopotential_altitude_m: float, sea_level_pa: float = SEA_LEVEL_PA
) -> float:
    """Give the pressure (Pa) at a GEOPOTENTIAL altitude (m) by sea-level pressure (Pa).

    Source: ISO 2533:1975. Raises `PhysicsError` outside -500 to 11000 m or 87 to 109 kPa.

    >>> round(pressure_at_geopotential_pa(2000.0), 1)
    79495.2
    """
    between("altitude", geopotential_altitude_m, "m", least=LOWEST_M, most=HIGHEST_M)
    between("sea-level pressure", sea_level_pa, "Pa", least=87000.0, most=109000.0)
    fall = LAPSE_K_PER_M * geopotential_altitude_m / SEA_LEVEL_K
    return float(sea_level_pa * (1 - fall) ** EXPONENT)


def pressure_at_altitude_pa(altitude_m: float, sea_level_pa: float = SEA_LEVEL_PA) -> float:
    """Give the pressure (Pa) at a GEOMETRIC altitude (m), as maps and receivers give it.

    `sea_level_pa` is the weather report's pressure. Source: ISO 2533:1975. Raises
    `PhysicsError` outside -500 to 11000 m or 87 to 109 kPa.

    >>> round(pressure_at_altitude_pa(2000.0), 1)
    79501.4
    """
    return pressure_at_geopotential_pa(geopotential_m(altitude_m), sea_level_pa)


def temperature_at_altitude_k(altitude_m: float) -> float:
    """Give the standard temperature (K) at a GEOMETRIC altitude (m).

    Source: ISO 2533:1975. Raises `PhysicsError` outside -500 to 11000 m.

    >>> round(temperature_at_altitude_k(2000.0), 2)
    275.15
    """
    return SEA_LEVEL_K - LAPSE_K_PER_M * geopotential_m(altitude_m)


def density_at_altitude_kg_per_m3(altitude_m: float) -> float:
    """Give the standard density of air (kg/m3) at a GEOMETRIC altitude (m).

    Source: ISO 2533:1975. Raises `PhysicsError` outside -500 to 11000 m.

    >>> round(density_at_altitude_kg_per_m3(2000.0), 5)
    1.00655
    """
    temperature = temperature_at_altitude_k(altitude_m)
    pressure_ratio = pressure_at_altitude_pa(altitude_m) / SEA_LEVEL_PA
    return SEA_LEVEL_KG_PER_M3 * pressure_ratio * SEA_LEVEL_K / temperature


def mixture_richness(altitude_m: float, set_at_m: float = 0.0) -> float:
    """Give the fuel-to-air ratio at an altitude (m) against that where it was set (m).

    A pump gives the same fuel and a blower the same volume, so the ratio is that of the air
    densities. Source: ISO 2533:1975. Raises `PhysicsError` outside -500 to 11000 m.

    >>> round(mixture_richness(2000.0), 3)
    1.217
    """
    return density_at_altitude_kg_per_m3(set_at_m) / density_at_altitude_kg_per_m3(altitude_m)
