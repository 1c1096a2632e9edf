"""Air and gas against `fluids`, `CoolProp`, and a root found by scipy."""

from __future__ import annotations

import CoolProp.CoolProp as coolprop
import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from diag.workshop import Fault, Heater, apply_fault
from diag.workshop.laws import air
from diag.workshop.laws.flame import AIR_KG_PER_KG
from diag.workshop.laws.heat import gas_j_per_kg
from tests.workshop.shipped import small


def _with(part: str, quantity: str, value: float) -> Heater:
    return apply_fault(small(), Fault(part, quantity, "becomes", value))


@pytest.mark.parametrize("celsius", [-20.0, 0.0, 20.0, 80.0, 120.0])
def test_air_density_is_coolprops(celsius: float) -> None:
    """Dry air at 100 m above the sea has the density of the reference equation of state."""
    expected = coolprop.PropsSI("D", "T", celsius + 273.15, "P", 100129.0, "Air")
    assert expected == pytest.approx(air.density_at_height_kg_per_m3(small(), celsius), rel=0.002)


@pytest.mark.parametrize("celsius", [100.0, 300.0, 600.0, 900.0, 1500.0])
@pytest.mark.parametrize("ratio", [1.2, 1.5, 2.0])
def test_flue_gas_holds_the_heat_that_its_parts_do(celsius: float, ratio: float) -> None:
    """Its heat above 20 C is that of oxygen, nitrogen, carbon dioxide and steam, within 2.5 %."""
    fuel = 12.011 + 1.85 * 1.008
    per_kg = 1.0 / (ratio * AIR_KG_PER_KG + 1.0)
    shares = {
        "Oxygen": (ratio - 1.0) * (1.0 + 1.85 / 4.0) * 31.998 / fuel * per_kg,
        "CarbonDioxide": 44.009 / fuel * per_kg,
        "Water": 0.925 * 18.015 / fuel * per_kg,
    }
    shares["Nitrogen"] = 1.0 - sum(shares.values())

    def heat(name: str, at_c: float) -> float:
        return coolprop.PropsSI("H", "T", at_c + 273.15, "P", 1000.0, name)

    expected = sum(
        share * (heat(name, celsius) - heat(name, 20.0)) for name, share in shares.items()
    )
    assert expected == pytest.approx(gas_j_per_kg(celsius) - gas_j_per_kg(20.0), rel=0.025)


@pytest.mark.parametrize("blockage", [0.0, 0.3, 0.6, 0.8])
def test_the_flow_is_where_fan_curve_and_path_meet(blockage: float) -> None:
    """The closed form is the root of fan pressure less the path's loss, found by scipy."""
    heater = _with("duct", "blockage", blockage)
    resistance = air.duct_resistance(heater)
    speed = 0.7
    flow = brentq(lambda v: 1.6 * speed**2 - 0.6 * v**2 - resistance * v**2, 0.0, 5.0)
    density = air.density_at_height_kg_per_m3(heater, 20.0)
    expected = flow * 76.3 / 3600.0 * density
    assert expected == pytest.approx(air.warm_air_kg_per_s(heater, speed, 20.0), rel=1e-6)


@pytest.mark.parametrize(("bore", "metres"), [(75.0, 2.0), (60.0, 5.0), (90.0, 4.0), (50.0, 2.0)])
def test_a_ducts_friction_scales_as_darcy_says(bore: float, metres: float) -> None:
    """Against 2 m of 60 mm at one flow, a duct resists as `fluids` reckons for a rough one.

    Roughness 0.9 mm of a flexible duct (from memory); 76 m3/h.
    """

    def loss_pa(bore_mm: float, length: float) -> float:
        diameter = bore_mm / 1000.0
        speed = 76.0 / 3600.0 / (3.14159265 * diameter**2 / 4.0)
        reynolds = fluids.Reynolds(V=speed, D=diameter, rho=1.0, mu=2.1e-5)
        factor = fluids.friction_factor(reynolds, eD=0.0009 / diameter)
        return factor * length / diameter * 0.5 * speed**2

    expected = loss_pa(bore, metres) / loss_pa(60.0, 2.0)
    changed = apply_fault(_with("duct", "bore", bore), Fault("duct", "length", "becomes", metres))
    other = 0.2 + 0.3 + 0.2
    actual = (air.duct_resistance(changed) - other) / (air.duct_resistance(small()) - other)
    assert expected == pytest.approx(actual, rel=0.12)


@given(
    st.sampled_from([("intake", "blockage"), ("exhaust", "blockage"), ("burner", "carbon")]),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
)
def test_more_in_the_way_never_lets_more_air_through(
    place: tuple[str, str], first: float, second: float
) -> None:
    """Combustion air falls, or stays, as its path is narrowed."""
    less, more = sorted((first, second))
    flows = [air.combustion_air_kg_per_s(_with(*place, value), 0.9) for value in (less, more)]
    assert flows[0] >= flows[1]


@given(st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_flow_goes_with_speed(first: float, second: float) -> None:
    """Fan law: with the path as it is, flow is in proportion to speed."""
    flows = [air.warm_air_kg_per_s(small(), share, 20.0) / share for share in (first, second)]
    assert flows[0] == pytest.approx(flows[1], rel=1e-9)


def test_height_thins_both_streams_alike() -> None:
    """At 2,500 m both streams carry the standard atmosphere's share of air, 0.737 to 0.746."""
    high = _with("weather", "altitude", 2500.0)
    for flow in (
        lambda h: air.combustion_air_kg_per_s(h, 1.0),
        lambda h: air.warm_air_kg_per_s(h, 1.0, 8.0),
    ):
        assert 0.746 == pytest.approx(flow(high) / flow(small()), abs=0.01)
