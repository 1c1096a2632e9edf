"""Altitude against ISO 2533, `ambiance` and `fluids`."""

import pytest
from ambiance import Atmosphere
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.heat.atmosphere import (
    density_at_altitude_kg_per_m3,
    geopotential_m,
    mixture_richness,
    pressure_at_altitude_pa,
    pressure_at_geopotential_pa,
    temperature_at_altitude_k,
)

# m: geopotential Pa, geometric Pa, rho, T K (geopotential), p/p0, rho/rho0 (geometric).
# ISO 2533:1975 = ICAO Doc 7488 below 32 km.
ISA = {
    0: (101325, 101325, 1.22500, 288.15, 1, 1),
    500: (95460.8, 95461.3, 1.16727, 284.90, 0.94213, 0.95288),
    1000: (89874.6, 89876.3, 1.11166, 281.65, 0.88701, 0.90748),
    1500: (84556.0, 84559.7, 1.05810, 278.40, 0.83454, 0.86376),
    2000: (79495.2, 79501.4, 1.00655, 275.15, 0.78462, 0.82168),
    2500: (74682.5, 74691.7, 0.95695, 271.90, 0.73715, 0.78119),
    3000: (70108.5, 70121.1, 0.90925, 268.65, 0.69204, 0.74225),
    4000: (61640.2, 61660.4, 0.81935, 262.15, 0.60854, 0.66885),
    5000: (54019.9, 54048.3, 0.73643, 255.65, 0.53341, 0.60117),
}


@pytest.mark.parametrize(("metres", "row"), ISA.items())
def test_standard_atmosphere(metres: float, row: tuple[float, ...]) -> None:
    """Pressure and density by geopotential and geometric height are ISO 2533's."""
    geopotential, geometric, density, kelvin, pressure_ratio, density_ratio = row
    assert geopotential == pytest.approx(pressure_at_geopotential_pa(metres), abs=0.06)
    assert geometric == pytest.approx(pressure_at_altitude_pa(metres), abs=0.06)
    assert density == pytest.approx(density_at_altitude_kg_per_m3(metres), abs=6e-6)
    assert kelvin == pytest.approx(temperature_at_altitude_k(metres), abs=0.03)
    assert pressure_ratio == pytest.approx(pressure_at_altitude_pa(metres) / 101325, abs=6e-6)
    assert density_ratio == pytest.approx(1 / mixture_richness(metres), abs=6e-6)


@pytest.mark.parametrize("metres", range(0, 5001, 250))
def test_two_libraries_agree(metres: float) -> None:
    """`ambiance` and `fluids` take geometric height and give the same air."""
    standard, fluid = Atmosphere(metres), ATMOSPHERE_1976(metres)
    for pressure, density in (
        (float(standard.pressure[0]), float(standard.density[0])),
        (fluid.P, fluid.rho),
    ):
        assert pressure == pytest.approx(pressure_at_altitude_pa(metres), abs=0.1)
        assert density == pytest.approx(density_at_altitude_kg_per_m3(metres), rel=5e-6)


def test_geometric_is_not_geopotential() -> None:
    """At 4000 m the two heights differ by 0.03 % in pressure (ISO 2533)."""
    ratio = pressure_at_altitude_pa(4000.0) / pressure_at_geopotential_pa(4000.0)
    assert pytest.approx(1.00033, abs=2e-5) == ratio
    assert pytest.approx(3997.5, abs=0.05) == geopotential_m(4000.0)


def test_mixture_is_a_fifth_richer_at_2000_m() -> None:
    """A mixture set at sea level is 1 / 0.82168 as rich at 2000 m (ISO 2533 density ratio)."""
    assert pytest.approx(1 / 0.82168, rel=1e-5) == mixture_richness(2000.0)
    assert mixture_richness(1500.0, set_at_m=1500.0) == 1.0


@given(st.floats(-400, 9000), st.floats(1, 1000))
def test_higher_is_thinner_and_richer(metres: float, more: float) -> None:
    """Pressure falls and the mixture grows richer with every metre."""
    assert pressure_at_altitude_pa(metres + more) < pressure_at_altitude_pa(metres)
    assert mixture_richness(metres + more) > mixture_richness(metres)


@given(st.floats(0, 5000), st.floats(97000, 104000))
def test_weather_scales_the_pressure(metres: float, sea_level: float) -> None:
    """The weather report's pressure scales the standard one."""
    scaled = pressure_at_altitude_pa(metres) * sea_level / 101325
    assert pytest.approx(scaled) == pressure_at_altitude_pa(metres, sea_level)
