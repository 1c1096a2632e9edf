"""Air against CoolProp's reference equation, and ducts against ISO 3966, 5802 and 7145."""

from math import pi

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.heat.air import (
    air_density_kg_per_m3,
    air_heat_capacity_j_per_kg_k,
    air_heat_from_centre_kw,
    air_heat_kw,
    duct_flow_m3_per_s,
    mean_to_centre_ratio,
)
from diag.physics.heat.traverse import (
    METHODS,
    Method,
    mean_speed_point_mm,
    traverse_mean_m_s,
    traverse_points_mm,
)

# C: ideal density kg/m3, reference density, cp J/kg K, by CoolProp 8.0.0 for 'Air' at 101325 Pa.
AIR = {
    -20: (1.3944, 1.3957, 1005.5), 0: (1.2923, 1.2931, 1005.7), 10: (1.2466, 1.2473, 1005.9),
    15: (1.2250, 1.2255, 1006.0), 20: (1.2041, 1.2046, 1006.1), 25: (1.1839, 1.1843, 1006.3),
    30: (1.1644, 1.1647, 1006.5), 40: (1.1272, 1.1275, 1006.9), 50: (1.0923, 1.0925, 1007.4),
    60: (1.0595, 1.0596, 1008.0), 80: (0.9995, 0.9995, 1009.5), 100: (0.9460, 0.9459, 1011.2),
    120: (0.8978, 0.8977, 1013.3),
}  # fmt: skip


@pytest.mark.parametrize(("celsius", "row"), AIR.items())
def test_air_table(celsius: float, row: tuple[float, float, float]) -> None:
    """Density is the ideal gas's, within 0.1 % of the reference; cp within 0.03 % (CoolProp)."""
    ideal, real, capacity = row
    assert ideal == pytest.approx(air_density_kg_per_m3(celsius), abs=6e-5)
    assert real == pytest.approx(air_density_kg_per_m3(celsius), rel=1e-3)
    assert capacity == pytest.approx(air_heat_capacity_j_per_kg_k(celsius), rel=3e-4)


@pytest.mark.parametrize("celsius", range(-20, 121, 7))
@pytest.mark.parametrize("pascals", [70000.0, 101325.0])
def test_air_against_coolprop(celsius: float, pascals: float) -> None:
    """At any temperature and pressure of the job CoolProp gives the same density and cp."""
    kelvin = celsius + 273.15
    density = PropsSI("D", "T", kelvin, "P", pascals, "Air")
    capacity = PropsSI("C", "T", kelvin, "P", pascals, "Air")
    assert density == pytest.approx(air_density_kg_per_m3(celsius, pascals), rel=1.1e-3)
    assert capacity == pytest.approx(air_heat_capacity_j_per_kg_k(celsius), rel=1e-3)


def test_heat_against_enthalpy() -> None:
    """m cp dT at the mean temperature is the enthalpy difference within 0.1 % (CoolProp)."""
    speed, bore = 10.0, 60.0
    mass = speed * pi / 4 * 0.06**2 * PropsSI("D", "T", 378.15, "P", 101325, "Air")
    rise = PropsSI("H", "T", 378.15, "P", 101325, "Air") - PropsSI(
        "H", "T", 291.15, "P", 101325, "Air"
    )
    assert mass * rise / 1000 == pytest.approx(air_heat_kw(speed, bore, 18.0, 105.0), rel=1e-3)


@pytest.mark.parametrize(
    ("n", "ratio"), [(5, 0.7576), (6, 0.7912), (7, 49 / 60), (8, 0.8366), (9, 0.8526), (10, 0.8658)]
)
def test_power_law(n: float, ratio: float) -> None:
    """Mean over centre speed follows the exponent (Prandtl and Nikuradse power law)."""
    assert ratio == pytest.approx(mean_to_centre_ratio(n), abs=6e-5)


@pytest.mark.parametrize(("n", "from_wall"), [(6, 0.2453), (7, 0.2423), (8, 0.2400), (10, 0.2367)])
def test_mean_speed_point(n: float, from_wall: float) -> None:
    """The power law meets its mean near 0.242 of the radius from the wall (ISO 7145:1982)."""
    assert from_wall == pytest.approx(mean_to_centre_ratio(n) ** n, abs=6e-5)
    assert from_wall == pytest.approx(mean_speed_point_mm(100.0) / 50.0, abs=6e-3)


# y/D by method and points per radius: ISO 3966 / ISO 5802 Tables 2 and 3.
TRAVERSES: dict[tuple[Method, int], tuple[float, ...]] = {
    ("log-linear", 3): (0.032, 0.135, 0.321, 0.679, 0.865, 0.968),
    ("log-Tchebycheff", 3): (0.032, 0.137, 0.312, 0.688, 0.863, 0.968),
    ("log-linear", 4): (0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979),
    ("log-Tchebycheff", 4): (0.024, 0.100, 0.194, 0.334, 0.666, 0.806, 0.900, 0.976),
}


@pytest.mark.parametrize(("which", "positions"), TRAVERSES.items())
def test_traverse_positions(which: tuple[Method, int], positions: tuple[float, ...]) -> None:
    """The probe goes where ISO 3966 / ISO 5802 Tables 2 and 3 say."""
    assert pytest.approx([100 * y for y in positions]) == list(traverse_points_mm(100.0, *which))


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("points", [3, 4])
@pytest.mark.parametrize("n", [6.0, 7.0, 10.0])
def test_traverse_finds_the_mean_of_a_known_profile(method: Method, points: int, n: float) -> None:
    """On a power-law profile a traverse finds its exact mean within 0.7 %."""
    speeds = [
        10.0 * (min(mm, 60.0 - mm) / 30.0) ** (1 / n)
        for mm in traverse_points_mm(60.0, method, points)
    ]
    exact = 10.0 * mean_to_centre_ratio(n)
    assert exact == pytest.approx(traverse_mean_m_s(speeds, points), rel=7e-3)


def test_worked_duct() -> None:
    """75 mm with 10 m/s at the centre carries 129.9 m3/h (arithmetic, n = 7)."""
    flow = duct_flow_m3_per_s(10.0 * mean_to_centre_ratio(), 75.0)
    assert pytest.approx(8.167, abs=5e-4) == 10.0 * mean_to_centre_ratio()
    assert pytest.approx(0.03608, abs=5e-6) == flow
    assert pytest.approx(129.9, abs=0.05) == 3600 * flow


def test_full_power_through_a_60_mm_outlet() -> None:
    """12.5 m/s at the centre, 18 to 105 C: 2.3 to 2.4 kW, 2.9 uncorrected; common practice."""
    assert 2.3 <= air_heat_from_centre_kw(12.5, 60.0, 18.0, 105.0) <= 2.4
    assert pytest.approx(2.9, abs=0.05) == air_heat_kw(12.5, 60.0, 18.0, 105.0)


@given(st.floats(1, 30), st.floats(30, 120), st.floats(-20, 30), st.floats(5, 100))
def test_heat_grows_with_speed_bore_and_rise(v: float, d: float, cold: float, rise: float) -> None:
    """Heat goes with the speed and the bore's square, and a warmer inlet lowers it."""
    once = air_heat_kw(v, d, cold, cold + rise)
    assert pytest.approx(2 * once) == air_heat_kw(2 * v, d, cold, cold + rise)
    assert pytest.approx(4 * once) == air_heat_kw(v, 2 * d, cold, cold + rise)
    assert air_heat_kw(v, d, cold + 1.0, cold + rise) < once


@given(st.floats(70000, 100000))
def test_thin_air_carries_less(pascals: float) -> None:
    """Heat at the same speed goes with the pressure."""
    full = air_heat_kw(10.0, 60.0, 18.0, 105.0)
    assert pytest.approx(full * pascals / 101325) == air_heat_kw(10.0, 60.0, 18.0, 105.0, pascals)
