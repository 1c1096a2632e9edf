"""The burning side of a step: fuel to the pool, vapour to the flame, heat to the air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from diag.physics.combustion.fuel import density_kg_per_m3
from diag.workshop.heater import Heater
from diag.workshop.laws import cabin as rooms
from diag.workshop.laws import fuel_line
from diag.workshop.laws.air import (
    combustion_air_kg_per_s,
    outlet_centre_m_per_s,
    warm_air_kg_per_s,
)
from diag.workshop.laws.air import density_at_height_kg_per_m3 as air_density
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
from diag.workshop.run.moment import State, Usage

_GOES_OUT_S = 3.0
_SOOT_PER_ML = 6e-6  # of a full coat, for each ml burnt at spot 1: memory


@dataclass(frozen=True, slots=True)
class Burning:
    """Hold the burning side of a step; `carried` is what the next step's state takes over."""

    stroke: fuel_line.Stroke
    gas: Gas
    flows: HeatFlows
    fuel_ml_per_s: float
    white_ml_per_s: float
    inlet_c: float
    outlet_m_per_s: float
    air_density: float
    tally: Usage
    carried: dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Fed:
    """Hold what reaches the chamber in a step (ml), and the line that it left."""

    stroke: fuel_line.Stroke
    pumped_ml: float
    lost_ml: float
    line_ml: float
    vacuum_kpa: float


def _fed(heater: Heater, state: State, rate_hz: float, coil_v: float, dt_s: float) -> _Fed:
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
    return _Fed(stroke, given, lost, line, max(0.0, vacuum))


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


@dataclass(frozen=True, slots=True)
class _Flame:
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


def _flame(heater: Heater, state: State, pool_ml: float, dt_s: float) -> _Flame:
    """Evaporate from the pool, and burn what is vapour if there is a flame."""
    vapour = vapour_ml_per_s(pool_ml, state.flame_s, state.plug_c, heater.screen.clogging)
    vapour = min(vapour, pool_ml / dt_s)
    fuel = heater.fuel
    kg_per_ml = density_kg_per_m3(fuel.density_15c_kg_per_m3, fuel.temperature_c) * 1e-6
    air = combustion_air_kg_per_s(heater, state.speed_rad_per_s / FULL_RAD_PER_S)
    if state.flame_s > 0.0:
        vapour = min(vapour, most_vapour_kg_per_s(air) / kg_per_ml)
    oil = vapour * kg_per_ml * (1.0 - fuel.water)
    gas = gas_of(heater, air, oil, state.flame_s) if state.flame_s > 0.0 else AIR_ONLY
    flame_s, starved_s, kindling = _lit(heater, state, air, gas.air_ratio, dt_s)
    return _Flame(
        pool_ml=pool_ml,
        vapour_ml_per_s=vapour,
        gas=gas,
        gas_kg_per_s=air + oil * gas.burnt,
        freed_w=gas.burnt * oil * fuel.net_heat_mj_per_kg * 1e6,
        flame_s=flame_s,
        starved_s=starved_s,
        kindling=kindling,
    )


def _used(fed: _Fed, flame: _Flame, flows: HeatFlows, dt_s: float) -> Usage:
    """Give what a step used and turned over on the burning side."""
    gas = flame.gas
    return Usage(
        pumped_ml=fed.pumped_ml,
        burnt_ml=flame.vapour_ml_per_s * gas.burnt * dt_s,
        unburnt_ml=flame.white_ml_per_s * dt_s,
        lost_ml=fed.lost_ml,
        freed_j=flame.freed_w * dt_s,
        air_j=flows.air_w * dt_s,
        exhaust_j=flows.exhaust_w * dt_s,
        case_j=flows.case_w * dt_s,
        burning_s=dt_s if flame.flame_s > 0.0 else 0.0,
        soot=_SOOT_PER_ML * flame.vapour_ml_per_s * dt_s * gas.smoke_spot**2
        if flame.flame_s > 0.0
        else 0.0,
    )


def _carried(
    heater: Heater, state: State, flame: _Flame, flows: HeatFlows, dt_s: float
) -> dict[str, Any]:
    """Give what the next step's state takes over of flame and cabin."""
    leaked = rooms.leaked_m3_per_s(heater, flame.gas_kg_per_s, flame.gas.co_ppm)
    into_cabin_w = flows.air_w * (1.0 - 0.8 * heater.duct.leak)
    return {
        "pool_ml": flame.pool_ml - flame.vapour_ml_per_s * dt_s,
        "flame_s": flame.flame_s,
        "starved_s": flame.starved_s,
        "kindling": flame.kindling,
        "cabin_c": rooms.warmed_c(heater, state.cabin_c, into_cabin_w, dt_s),
        "cabin_co_ppm": rooms.diluted_ppm(heater.cabin, state.cabin_co_ppm, leaked, dt_s),
    }


def burn(heater: Heater, state: State, rate_hz: float, coil_v: float, dt_s: float) -> Burning:
    """Run fuel, flame and heat for a step of time (s) with the pump at a rate (Hz)."""
    fed = _fed(heater, state, rate_hz, coil_v, dt_s)
    flame = _flame(heater, state, state.pool_ml + fed.pumped_ml - fed.lost_ml, dt_s)
    inlet_c = state.cabin_c + heater.inlet.recirculation * (state.outlet_c - state.cabin_c)
    warm = warm_air_kg_per_s(heater, state.speed_rad_per_s / FULL_RAD_PER_S, inlet_c)
    streams = Streams(flame.gas_kg_per_s, heater.weather.temperature_c, warm, inlet_c)
    flows = heat_flows(heater.exchanger, streams, flame.freed_w, state.body_c)
    carried = _carried(heater, state, flame, flows, dt_s)
    carried |= {"line_ml": fed.line_ml, "tank_vacuum_kpa": fed.vacuum_kpa}
    return Burning(
        stroke=fed.stroke,
        gas=flame.gas,
        flows=flows,
        fuel_ml_per_s=fed.pumped_ml / dt_s,
        white_ml_per_s=flame.white_ml_per_s,
        inlet_c=inlet_c,
        outlet_m_per_s=outlet_centre_m_per_s(heater, warm, flows.outlet_c),
        air_density=air_density(heater, inlet_c),
        tally=_used(fed, flame, flows, dt_s),
        carried=carried,
    )
