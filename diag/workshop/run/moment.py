"""What moves from step to step, and what can be seen of it at a moment."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from diag.model.frozen import frozen
from diag.workshop.heater import Heater
from diag.workshop.laws.fuel_line import line_ml
from diag.workshop.laws.supply import Supplied


@frozen
class State:
    """Hold what a step hands to the next: temperatures (C), speed, fuel on its way, sag."""

    at_s: float
    plug_c: float
    body_c: float
    flame_sensor_c: float
    overheat_sensor_c: float
    control_c: float
    outlet_c: float
    unit_v: float
    polarisation_v: float
    speed_rad_per_s: float
    pool_ml: float
    line_ml: float
    tank_vacuum_kpa: float
    kindling: float
    flame_s: float
    starved_s: float
    cabin_c: float
    cabin_co_ppm: float


def at_rest(heater: Heater, at_s: float = 0.0) -> State:
    """Give the state of a unit that has stood for a night."""
    cold = heater.cabin.temperature_c
    return State(
        at_s=at_s, plug_c=cold, body_c=cold, flame_sensor_c=cold, overheat_sensor_c=cold,
        control_c=cold, outlet_c=cold, unit_v=heater.battery.nominal_v, polarisation_v=0.0,
        speed_rad_per_s=0.0, pool_ml=heater.burner.pooled_ml, line_ml=line_ml(heater),
        tank_vacuum_kpa=0.0, kindling=0.0, flame_s=0.0, starved_s=0.0, cabin_c=cold,
        cabin_co_ppm=heater.cabin.carbon_monoxide_ppm,
    )  # fmt: skip


class Usage(NamedTuple):
    """Hold what has been used and turned over since a moment: A s, ml, J."""

    charge_as: float = 0.0
    unit_charge_as: float = 0.0
    pumped_ml: float = 0.0
    pulses: float = 0.0
    burnt_ml: float = 0.0
    unburnt_ml: float = 0.0
    lost_ml: float = 0.0
    freed_j: float = 0.0
    air_j: float = 0.0
    exhaust_j: float = 0.0
    case_j: float = 0.0
    soot: float = 0.0
    burning_s: float = 0.0


@frozen
class Moment:
    """Hold all that can be seen, heard or measured at one moment, each as it truly is."""

    at_s: float
    phase: str
    supply: Supplied
    plug_a: float
    plug_v: float
    plug_c: float
    pump_hz: float
    pump_v: float
    pump_ticks: bool
    fuel_ml_per_s: float
    bubbles: float
    suction_kpa: float
    fan_share: float
    body_c: float
    outlet_c: float
    outlet_m_per_s: float
    inlet_c: float
    exhaust_c: float
    flame: bool
    air_ratio: float
    o2_percent: float
    co2_percent: float
    co_ppm: float
    smoke_spot: float
    white_smoke_ml_per_s: float
    heat_w: float
    pool_ml: float
    cabin_c: float
    cabin_co_ppm: float
    flame_sensor_ohm: float
    overheat_sensor_ohm: float
    room_sensor_ohm: float
    code: int
    rubs: bool

    @property
    def volts(self) -> Mapping[str, float]:
        """Give the volts of each node of the supply, against the negative terminal."""
        return self.supply.volts

    @property
    def unit_v(self) -> float:
        """Give the volts between the unit's pins."""
        return self.supply.unit_v

    @property
    def amps(self) -> float:
        """Give what the unit draws (A)."""
        return self.supply.unit_a

    @property
    def sounds(self) -> tuple[str, ...]:
        """Say what can be heard: the fan, the pump, the flame, a wheel that rubs."""
        heard = []
        if self.fan_share > 0.1:
            heard.append("fan")
            if self.rubs:
                heard.append("a wheel or bearing rubs")
        if self.pump_ticks and self.pump_hz > 0.0:
            heard.append("pump ticks")
        if self.flame:
            heard.append("flame")
        return tuple(heard)

    @property
    def smoke(self) -> str:
        """Say what is seen at the exhaust: none, white (unburnt vapour) or dark (soot).

        A spot of 4 shows as a grey haze (transmission, ASTM D2156 sec. 5.2); what vapour shows
        is memory.
        """
        if self.flame and self.smoke_spot >= 4.0:
            return "dark"
        return "white" if self.white_smoke_ml_per_s > 0.004 else "none"

    def volts_between(self, first: str, second: str) -> float:
        """Give the volts from one node to another; raises `KeyError` for a name that is none."""
        volts = self.volts
        return volts[first] - volts[second]
