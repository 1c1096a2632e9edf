"""What a run turns over closes: charge, fuel, heat, carbon monoxide."""

from __future__ import annotations

import pytest
from scipy.integrate import solve_ivp

from diag.physics.combustion.flue import air_ratio_from_co2, air_ratio_from_o2, siegert_loss_from_o2
from diag.physics.combustion.fuel import density_kg_per_m3
from diag.workshop import Fault, World, apply_fault
from diag.workshop.laws import battery as cells
from diag.workshop.laws.cabin import diluted_ppm
from diag.workshop.laws.flame import gas_of
from tests.workshop.runs import faulty_run, sound_run
from tests.workshop.shipped import small

LEAK = Fault("delivery hose", "leak", "becomes", 0.2)
FLOODED = Fault("burner", "pooled", "becomes", 12.0)
SOOTED = Fault("exchanger", "soot", "becomes", 0.9)
BLOCKED = Fault("exhaust", "blockage", "becomes", 0.8)


FAULTS: dict[str, tuple[Fault, ...]] = {
    "none": (),
    "leak": (LEAK,),
    "flooded": (FLOODED,),
    "sooted": (SOOTED,),
}
FAULTS["blocked"] = (BLOCKED,)


def _run(name: str) -> World:
    return faulty_run(*FAULTS[name]) if FAULTS[name] else sound_run()


@pytest.mark.parametrize("name", FAULTS)
def test_fuel_closes(name: str) -> None:
    """What was pooled and pumped is burnt, left unburnt, leaked or still pooled, within 0.1 %."""
    world = _run(name)
    first = 12.0 if world.moments[0].pool_ml > 10.0 else 0.0
    used = world.tally
    ends = used.burnt_ml + used.unburnt_ml + used.lost_ml + world.state.pool_ml
    assert first + used.pumped_ml == pytest.approx(ends, rel=1e-3)


@pytest.mark.parametrize("name", FAULTS)
def test_heat_closes(name: str) -> None:
    """The fuel's net heat went to the air, out of the exhaust, off the case or into the body."""
    world = _run(name)
    heater, used = world.heater, world.tally
    fuel = heater.fuel
    kg = used.burnt_ml * 1e-6 * density_kg_per_m3(fuel.density_15c_kg_per_m3, fuel.temperature_c)
    kept = (world.state.body_c - 12.0) * heater.exchanger.heat_capacity_j_per_k
    assert kg * fuel.net_heat_mj_per_kg * 1e6 == pytest.approx(
        used.air_j + used.exhaust_j + used.case_j + kept, rel=1e-3
    )


def test_the_warm_air_carries_what_the_trace_says() -> None:
    """Flow times heat capacity times rise, from what an outlet's meters would read, is the heat."""
    moment = sound_run().trace.during("full").moments[-1]
    area_m2 = 3.14159265 * 0.030**2
    kg_per_s = (
        moment.outlet_m_per_s
        * 0.81667
        * area_m2
        * 1.2041
        * 293.15
        / (moment.outlet_c + 273.15)
        * 0.988
    )  # 100 m above the sea
    heat_w = kg_per_s * 1006.0 * (moment.outlet_c - moment.inlet_c)
    assert heat_w == pytest.approx(moment.heat_w, rel=0.01)


def test_charge_closes() -> None:
    """What left the battery by its current is what is missing of its charge, within 0.1 %."""
    world = sound_run()
    missing = (0.9 - world.heater.battery.charge) * cells.usable_ah(world.heater.battery)
    by_trace = sum(moment.supply.battery_a for moment in world.moments) * 0.2 / 3600.0
    assert missing == pytest.approx(by_trace, rel=1e-3)
    assert missing == pytest.approx(world.tally.charge_as / 3600.0, rel=1e-3)


@pytest.mark.parametrize("ratio", [1.05, 1.2, 1.5, 2.0, 3.0])
def test_oxygen_and_carbon_dioxide_tell_the_air_ratio(ratio: float) -> None:
    """The gas of a flame, read by the flue-gas formulas, gives its air ratio back."""
    gas = gas_of(small(), ratio * 14.5670e-5, 1e-5, 1000.0)
    assert ratio == pytest.approx(air_ratio_from_o2(gas.o2_percent), rel=0.01)
    assert ratio == pytest.approx(air_ratio_from_co2(gas.co2_percent), rel=0.01)


def test_the_exhaust_loses_what_siegert_says() -> None:
    """Flat out, the share of heat in the exhaust is the Siegert loss (1. BImSchV) within 2 points.

    The formula is a fit, low by a point or two above 350 C.
    """
    moment = sound_run().trace.during("full").moments[-1]
    expected = siegert_loss_from_o2(moment.exhaust_c, 8.0, moment.o2_percent)
    given_w = moment.heat_w + 0.45 * (moment.body_c - moment.inlet_c)
    fuel_w = moment.fuel_ml_per_s * 0.8355e-3 * 43.0e6
    assert expected == pytest.approx(100.0 * (1.0 - given_w / fuel_w), abs=2.0)


def test_the_cabin_dilutes_as_an_outside_solver_says() -> None:
    """Carbon monoxide in the cabin follows V dC/dt = G - Q C, solved by scipy."""
    cabin = small().cabin
    source = 2e-7

    def slope(_: float, ppm: list[float]) -> list[float]:
        fresh = cabin.ventilation_m3_per_h / 3600.0
        return [(1e6 * source - fresh * ppm[0]) / cabin.volume_m3]

    solved = solve_ivp(slope, (0.0, 1800.0), [50.0], rtol=1e-9, atol=1e-9)
    assert solved.y[0][-1] == pytest.approx(diluted_ppm(cabin, 50.0, source, 1800.0), rel=1e-6)


def test_many_short_steps_dilute_as_one_long_one() -> None:
    """The closed form of the cabin's dilution does not depend on the step."""
    cabin, ppm = small().cabin, 0.0
    for _ in range(900):
        ppm = diluted_ppm(cabin, ppm, 3e-7, 0.2)
    assert ppm == pytest.approx(diluted_ppm(cabin, 0.0, 3e-7, 180.0), rel=1e-9)


def test_a_closed_cabin_fills() -> None:
    """Without ventilation the carbon monoxide rises in proportion to time."""
    shut = apply_fault(small(), Fault("cabin", "ventilation", "becomes", 0.0)).cabin
    assert 60.0 == pytest.approx(diluted_ppm(shut, 0.0, 1e-6, 60.0) * shut.volume_m3, rel=1e-9)
