"""Speeds taken across a round duct: where to hold the probe, and the mean."""

from collections.abc import Sequence
from types import MappingProxyType
from typing import Literal

from diag.physics.errors import PhysicsError, above, between, celsius, one_of
from diag.physics.heat.air import MAX_BORE_MM, MAX_SPEED_M_S
from diag.physics.heat.atmosphere import SEA_LEVEL_PA

Method = Literal["log-linear", "log-Tchebycheff"]

# Distance from the wall over the bore, along one diameter, by points per radius.
# ISO 3966 / ISO 5802 Tables 2 and 3.
POSITIONS = MappingProxyType(
    {
        ("log-linear", 3): (0.032, 0.135, 0.321, 0.679, 0.865, 0.968),
        ("log-Tchebycheff", 3): (0.032, 0.137, 0.312, 0.688, 0.863, 0.968),
        ("log-linear", 4): (0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979),
        ("log-Tchebycheff", 4): (0.024, 0.100, 0.194, 0.334, 0.666, 0.806, 0.900, 0.976),
    }
)
METHODS: tuple[Method, ...] = ("log-linear", "log-Tchebycheff")
MEAN_SPEED_FROM_WALL = 0.242  # of the radius, ISO 7145:1982


def traverse_points_mm(
    bore_mm: float, method: Method = "log-linear", points_per_radius: int = 3
) -> tuple[float, ...]:
    """Give the distances (mm) from the wall at which to take speeds along a diameter.

    Source: ISO 3966 / ISO 5802 Tables 2 and 3. Raises `PhysicsError` for a bore of 0 or other
    than 3 or 4 points per radius.

    >>> [round(mm, 1) for mm in traverse_points_mm(60.0)]
    [1.9, 8.1, 19.3, 40.7, 51.9, 58.1]
    """
    above("duct bore", bore_mm, "mm", most=MAX_BORE_MM)
    one_of("traverse method", method, METHODS)
    positions = POSITIONS.get((method, points_per_radius))
    if positions is None:
        raise PhysicsError(f"`points per radius` is {points_per_radius}: expected 3 or 4")
    return tuple(bore_mm * position for position in positions)


def traverse_mean_m_s(speeds_m_s: Sequence[float], points_per_radius: int = 3) -> float:
    """Give the mean speed (m/s) of a traverse over one or more whole diameters.

    The points of `traverse_points_mm` all weigh the same. Source: ISO 3966 / ISO 5802. Raises
    `PhysicsError` for too few points, or speeds that do not fill whole diameters.

    >>> round(traverse_mean_m_s([8.1, 9.6, 10.9, 10.8, 9.7, 8.0]), 2)
    9.52
    """
    if points_per_radius not in (3, 4):
        raise PhysicsError(f"`points per radius` is {points_per_radius}: expected 3 or 4")
    needed = 2 * points_per_radius
    count = len(speeds_m_s)
    if count < needed or count % needed:
        raise PhysicsError(f"`traverse` has {count} points: expected {needed} along each diameter")
    for place, speed in enumerate(speeds_m_s, start=1):
        between(f"air speed at point {place}", speed, "m/s", least=0.0, most=MAX_SPEED_M_S)
    return sum(speeds_m_s) / count


def mean_speed_point_mm(bore_mm: float) -> float:
    """Give the distance (mm) from the wall at which one reading is the mean speed.

    Source: ISO 7145:1982, 0.242 of the radius, in a long straight duct. Raises `PhysicsError`
    for a bore of 0.

    >>> round(mean_speed_point_mm(60.0), 2)
    7.26
    """
    above("duct bore", bore_mm, "mm", most=MAX_BORE_MM)
    return MEAN_SPEED_FROM_WALL * bore_mm / 2


def true_speed_m_s(standard_m_s: float, air_c: float, pressure_pa: float = SEA_LEVEL_PA) -> float:
    """Give the true speed (m/s) of air (C, Pa) from what a hot-wire anemometer shows.

    It feels the mass that passes, and shows the speed which that has at 21.1 C and 101.4 kPa.
    Source: the ideal gas law; that meters show it so is from memory.
    Raises `PhysicsError` for a negative speed or values that cannot be.

    >>> round(true_speed_m_s(10.0, 105.0), 2)
    12.86
    """
    between("air speed", standard_m_s, "m/s", least=0.0, most=100.0)
    celsius("air temperature", air_c, least=-60.0, most=400.0)
    above("air pressure", pressure_pa, "Pa", most=2e5)
    return standard_m_s * (air_c + 273.15) / 294.25 * 101400.0 / pressure_pa
