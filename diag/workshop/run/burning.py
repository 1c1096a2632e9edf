"""The burning side of a step: fuel to the pool, vapour to the flame, heat to the air."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.physics.combustion.fuel import density_kg_per_m3
from diag.workshop.heater import Heater, once
from diag.workshop.laws import cabin as rooms
from diag.workshop.laws import fuel_line
from diag.workshop.laws.air import (
    combustion_air_kg_per_s,
    outlet_centre_m_per_s,
    warm_air_kg_per_s,
)
from diag.workshop.laws.flame import (
    AIR_ONLY,
    Gas,
    gas_of,
    kindled,
    most_vapour_kg_per_s,
    stands,
    vapour_ml_per_s,
)
from diag.workshop.laws.heat import HeatFlows, Streams, heat_flows
from diag.workshop.laws.motor import FULL_RAD_PER_S
from diag.workshop.laws.supply import Supplied
from diag.workshop.run.moment import State, Usage

_GOES_OUT_S = 3.0
_SOOT_PER_ML = 6e-6  # of a full coat, for each ml burnt at spot 1: memory


@frozen
class Carried:
    """Hold what the next step's state takes over of fuel, flame and cabin."""

    pool_ml: float
    line_ml: float
    tank_vacuum_kpa: float
    kindling: float
    flame_s: float
    starved_s: float
    cabin_c: float
    cabin_co_ppm: float


@frozen
class Fed:
    """Hold what reaches the chamber in a step (ml), and the line that it left."""

    stroke: fuel_line.Stroke
    ml_per_s: float
    pumped_ml: float
    lost_ml: float
    line_ml: float
    vacuum_kpa: float


def _fed(heater: Heater, state: State, rate_hz: float, coil_v: float, dt_s: float) -> Fed:
    """Let the pump suck from the line, and the tank or the air fill it again."""
    stroke = fuel_line.stroke_of(heater, rate_hz, coil_v, state.tank_vacuum_kpa, state.at_s)
    wanted = stroke.dose_ml * rate_hz * dt_s
    if fuel_line.draws_air(heater):
        given = min(wanted, state.line_ml)
        line = state.line_ml - given
    else:
        # What is missing in the line is filled first, with the same strokes.
        missing = fuel_line.line_ml(heater) - state.line_ml
        filling = min(wanted, missing) if missing > 1e-9 else 0.0
        given, line = wanted - filling, state.line_ml + filling
    shut = heater.tank.vent_blockage
    breathes = (1.0 - shut) ** 2 / 20.0 * dt_s
    vacuum = state.tank_vacuum_kpa + 2.0 * shut**2 * given - breathes * state.tank_vacuum_kpa
    lost = given * heater.delivery_hose.leak
    return Fed(stroke, given / dt_s, given, lost, line, max(0.0, vacuum))


def _lit(heater: Heater, state: State, air: float, ratio: float, dt_s: float) -> tuple[float, ...]:
    """Give how long the flame has stood (s, 0 without), starved (s) and kindling after a step."""
    if state.flame_s > 0.0:
        starved = 0.0 if stands(ratio, air, heater) else state.starved_s + dt_s
        if starved > _GOES_OUT_S:
            return 0.0, 0.0, 0.0
        return state.flame_s + dt_s, starved, 0.0
    kindling = state.kindling + kindled(heater, state.pool_ml, state.plug_c, air) * dt_s
    if state.plug_c < 500.0:
        kindling = 0.0
    return (dt_s, 0.0, 0.0) if kindling >= 1.0 else (0.0, 0.0, kindling)


@frozen
class Flame:
    """Hold the chamber over a step: vapour of what pool, the gas that it makes, the flame's age."""

    pool_ml: float
    vapour_ml_per_s: float
    gas: Gas
    gas_kg_per_s: float
    freed_w: float
    flame_s: float
    starved_s: float
    kindling: float

    @property
    def white_ml_per_s(self) -> float:
        """Give the vapour that leaves unburnt."""
        return self.vapour_ml_per_s * (1.0 - self.gas.burnt)


@once
def _kg_per_ml(heater: Heater) -> float:
    fuel = heater.fuel
    return density_kg_per_m3(fuel.density_15c_kg_per_m3, fuel.temperature_c) * 1e-6


def _flame(heater: Heater, state: State, pool_ml: float, dt_s: float) -> Flame:
    """Evaporate from the pool, and burn what is vapour if there is a flame."""
    vapour = vapour_ml_per_s(pool_ml, state.flame_s, state.plug_c, heater.screen.clogging)
    vapour = min(vapour, pool_ml / dt_s)
    kg_per_ml = _kg_per_ml(heater)
    air = combustion_air_kg_per_s(heater, state.speed_rad_per_s / FULL_RAD_PER_S)
    if state.flame_s > 0.0:
        vapour = min(vapour, most_vapour_kg_per_s(air) / kg_per_ml)
    oil = vapour * kg_per_ml * (1.0 - heater.fuel.water)
    gas = gas_of(heater, air, oil, state.flame_s) if state.flame_s > 0.0 else AIR_ONLY
    flame_s, starved_s, kindling = _lit(heater, state, air, gas.air_ratio, dt_s)
    return Flame(
        pool_ml=pool_ml,
        vapour_ml_per_s=vapour,
        gas=gas,
        gas_kg_per_s=air + oil * gas.burnt,
        freed_w=gas.burnt * oil * heater.fuel.net_heat_mj_per_kg * 1e6,
        flame_s=flame_s,
        starved_s=starved_s,
        kindling=kindling,
    )


@frozen
class Burning:
    """Hold the burning side of a step; `carried` is what the next step's state takes over."""

    fed: Fed
    flame: Flame
    flows: HeatFlows
    inlet_c: float
    outlet_m_per_s: float
    carried: Carried


def used(burning: Burning, supply: Supplied, pulses: float, dt_s: float) -> Usage:
    """Give what a step of time (s) used and turned over."""
    fed, flame, flows = burning.fed, burning.flame, burning.flows
    gas, burns = flame.gas, flame.flame_s > 0.0
    return Usage(
        supply.battery_a * dt_s,
        supply.unit_a * dt_s,
        fed.pumped_ml,
        pulses,
        flame.vapour_ml_per_s * gas.burnt * dt_s,
        flame.white_ml_per_s * dt_s,
        fed.lost_ml,
        flame.freed_w * dt_s,
        flows.air_w * dt_s,
        flows.exhaust_w * dt_s,
        flows.case_w * dt_s,
        _SOOT_PER_ML * flame.vapour_ml_per_s * dt_s * gas.smoke_spot**2 if burns else 0.0,
        dt_s if burns else 0.0,
    )


def _carried(heater: Heater, step: tuple[State, Fed, Flame], air_w: float, dt_s: float) -> Carried:
    """Give what the next step's state takes over of fuel, flame and cabin."""
    state, fed, flame = step
    leaked = rooms.leaked_m3_per_s(heater, flame.gas_kg_per_s, flame.gas.co_ppm)
    into_cabin_w = air_w * (1.0 - 0.8 * heater.duct.leak)
    return Carried(
        flame.pool_ml - flame.vapour_ml_per_s * dt_s,
        fed.line_ml,
        fed.vacuum_kpa,
        flame.kindling,
        flame.flame_s,
        flame.starved_s,
        rooms.warmed_c(heater, state.cabin_c, into_cabin_w, dt_s),
        rooms.diluted_ppm(heater.cabin, state.cabin_co_ppm, leaked, dt_s),
    )


def burn(heater: Heater, state: State, rate_hz: float, coil_v: float, dt_s: float) -> Burning:
    """Run fuel, flame and heat for a step of time (s) with the pump at a rate (Hz)."""
    fed = _fed(heater, state, rate_hz, coil_v, dt_s)
    flame = _flame(heater, state, state.pool_ml + fed.pumped_ml - fed.lost_ml, dt_s)
    inlet_c = state.cabin_c + heater.inlet.recirculation * (state.outlet_c - state.cabin_c)
    warm = warm_air_kg_per_s(heater, state.speed_rad_per_s / FULL_RAD_PER_S, inlet_c)
    streams = Streams(flame.gas_kg_per_s, heater.weather.temperature_c, warm, inlet_c)
    flows = heat_flows(heater.exchanger, streams, flame.freed_w, state.body_c)
    return Burning(
        fed,
        flame,
        flows,
        inlet_c,
        outlet_centre_m_per_s(heater, warm, flows.outlet_c),
        _carried(heater, (state, fed, flame), flows.air_w, dt_s),
    )
