"""One small step of time for a whole unit: current, fuel, flame, heat, control."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.workshop.control.controller import Commands, Mind, Senses, commands_of, decide
from diag.workshop.control.design import fan_v
from diag.workshop.control.states import LIMITS
from diag.workshop.heater import Heater
from diag.workshop.laws import battery as cells
from diag.workshop.laws import fuel_line
from diag.workshop.laws import motor as motors
from diag.workshop.laws import plug as plugs
from diag.workshop.laws.air import density_at_height_kg_per_m3
from diag.workshop.laws.curves import sensed_c, sensor_ohm
from diag.workshop.laws.supply import Draw, Jumper, Supplied, supplied
from diag.workshop.parts.sensing import Sensor
from diag.workshop.run.burning import Burning, burn, used
from diag.workshop.run.moment import Moment, State, Usage

_FLAME_SENSOR_S, _OVERHEAT_SENSOR_S, _CONTROL_S = 12.0, 8.0, 60.0
_PANEL_MOST_OHM = 1000.0
_RUBS_NM = 0.007  # that it is heard: memory
_WET_A = 0.3  # what a wet board leaks: memory


@frozen
class Outside:
    """Hold what people do meanwhile: whether it is switched on, and a jumper wire."""

    switched_on: bool = False
    jumper: Jumper | None = None


@frozen
class Stepped:
    """Hold what one step gives: state, mind, what was used, and what could be seen."""

    state: State
    mind: Mind
    tally: Usage
    moment: Moment


@frozen
class Electric:
    """Hold the electric side of a step."""

    supply: Supplied
    plug_on_a: float
    plug_on_v: float
    plug_w: float
    motor_v: float | None
    pump_v: float


def _awake(state: State, heater: Heater) -> bool:
    unit = heater.control_unit
    return state.unit_v >= LIMITS.wakes_share * unit.low_volts_v and unit.overheated < 0.5


def _electric(heater: Heater, state: State, mind: Mind, out: Outside, does: Commands) -> Electric:
    """Solve the supply with what the commands draw."""
    unit, motor = heater.control_unit, heater.motor
    plug_ohm = plugs.resistance_ohm(heater.glow_plug, state.plug_c)
    wire_ohm = (
        unit.plug_driver_ohm
        + heater.plug_wire.resistance_ohm
        + heater.plug_connector.resistance_ohm
    )
    coil_ohm = heater.pump.coil_resistance_ohm
    pump_wire_ohm = unit.pump_driver_ohm + heater.pump_connector.resistance_ohm
    wanted_v = fan_v(unit, does.fan)
    fan_share = min(1.0, wanted_v / max(state.unit_v, 1.0)) if does.fan > 0.0 else 0.0
    back_v = motor.volt_seconds * state.speed_rad_per_s
    if fan_share * state.unit_v <= back_v:
        fan_share = 0.0  # it coasts: its driver lets no current back
    resting = mind.phase in ("off", "fault")
    draw = Draw(
        electronics_a=(unit.standby_a if resting else unit.awake_a) + _WET_A * unit.water,
        plug_share=does.plug_share,
        plug_ohm=plug_ohm + wire_ohm,
        pump_share=min(1.0, does.pump_hz * heater.pump.pulse_s),
        pump_ohm=coil_ohm + pump_wire_ohm,
        fan_share=fan_share,
        fan_ohm=motor.resistance_ohm + unit.fan_driver_ohm,
        fan_back_v=back_v,
    )
    found = supplied(heater, draw, state.polarisation_v, out.jumper)
    unit_v = found.unit_v
    on_a = unit_v / (plug_ohm + wire_ohm) if does.plug_share > 0.0 else 0.0
    return Electric(
        supply=found,
        plug_on_a=on_a,
        plug_on_v=on_a * plug_ohm,
        plug_w=does.plug_share * on_a**2 * plug_ohm,
        motor_v=fan_share * unit_v if fan_share > 0.0 else None,
        pump_v=unit_v * coil_ohm / (coil_ohm + pump_wire_ohm) if does.pump_hz > 0.0 else 0.0,
    )


def _lagged(now: float, goal: float, lag_s: float, dt_s: float) -> float:
    return now + (goal - now) * min(1.0, dt_s / lag_s)


def _felt(sensor: Sensor, seat_c: float, around_c: float) -> float:
    """Give what a sensor settles at: its seat's temperature, or the air's where it came off."""
    return seat_c + (around_c - seat_c) * 0.8 * sensor.off_its_seat


@frozen
class SensorOhms:
    """Hold what an ohmmeter would show of each sensor."""

    flame: float
    overheat: float
    room: float


def _sensor_ohms(heater: Heater, state: State) -> SensorOhms:
    return SensorOhms(
        sensor_ohm(heater.flame_sensor, state.flame_sensor_c),
        sensor_ohm(heater.overheat_sensor, state.overheat_sensor_c),
        sensor_ohm(heater.room_sensor, state.cabin_c),
    )


def _senses(
    heater: Heater, state: State, electric: Electric, ohms: SensorOhms, out: Outside
) -> Senses:
    """Give what reaches the control unit now."""
    panel = heater.panel
    speaks = panel.dead < 0.5 and panel.wire_ohm < _PANEL_MOST_OHM
    pump_ohm = heater.pump.coil_resistance_ohm + heater.pump_connector.resistance_ohm
    return Senses(
        unit_v=electric.supply.unit_v,
        flame_c=sensed_c(heater.flame_sensor, ohms.flame),
        body_c=sensed_c(heater.overheat_sensor, ohms.overheat),
        room_c=sensed_c(heater.room_sensor, ohms.room),
        plug_a=electric.plug_on_a,
        pump_ohm=pump_ohm,
        fan_share=state.speed_rad_per_s / motors.FULL_RAD_PER_S,
        asked=out.switched_on and speaks,
        set_to_c=panel.set_to_c,
    )


def _moved(
    heater: Heater, state: State, electric: Electric, burning: Burning, dt_s: float
) -> State:
    """Give the temperatures, speed and sag after the step; fuel and flame come from `burning`."""
    motor_v = electric.motor_v
    density = density_at_height_kg_per_m3(heater, burning.inlet_c)
    speed = motors.turned_rad_per_s(heater.motor, state.speed_rad_per_s, motor_v, density, dt_s)
    flows = burning.flows
    body_c = state.body_c + flows.stored_w * dt_s / heater.exchanger.heat_capacity_j_per_k
    seat_c = flows.outlet_c + 0.35 * (state.body_c - flows.outlet_c)
    flame_seat_c = state.body_c + 0.8 * (flows.exhaust_c - state.body_c)
    around_c = burning.inlet_c
    still = max(0.0, 1.0 - 3.0 * state.speed_rad_per_s / motors.FULL_RAD_PER_S)
    breathed_c = (around_c + state.cabin_c) / 2.0
    soaked_c = breathed_c + 0.7 * still * (state.body_c - breathed_c)
    sag_v = electric.supply.battery_a * cells.polarisation_ohm(heater.battery)
    flame_goal_c = _felt(heater.flame_sensor, flame_seat_c, around_c)
    heat_goal_c = _felt(heater.overheat_sensor, seat_c, around_c)
    carried = burning.carried
    return State(
        at_s=state.at_s + dt_s,
        plug_c=plugs.warmed_c(heater.glow_plug, state.plug_c, state.body_c, electric.plug_w, dt_s),
        body_c=body_c,
        flame_sensor_c=_lagged(state.flame_sensor_c, flame_goal_c, _FLAME_SENSOR_S, dt_s),
        overheat_sensor_c=_lagged(state.overheat_sensor_c, heat_goal_c, _OVERHEAT_SENSOR_S, dt_s),
        control_c=_lagged(state.control_c, soaked_c, _CONTROL_S, dt_s),
        outlet_c=flows.outlet_c,
        unit_v=electric.supply.unit_v,
        polarisation_v=_lagged(state.polarisation_v, sag_v, cells.POLARISATION_S, dt_s),
        speed_rad_per_s=speed,
        pool_ml=carried.pool_ml,
        line_ml=carried.line_ml,
        tank_vacuum_kpa=carried.tank_vacuum_kpa,
        kindling=carried.kindling,
        flame_s=carried.flame_s,
        starved_s=carried.starved_s,
        cabin_c=carried.cabin_c,
        cabin_co_ppm=carried.cabin_co_ppm,
    )


def _seen(
    heater: Heater,
    stepped: tuple[State, Mind, SensorOhms],
    electric: Electric,
    burning: Burning,
    hz: float,
) -> Moment:
    """Give what can be seen and measured over the step."""
    state, mind, ohms = stepped
    flows, fed, gas = burning.flows, burning.fed, burning.flame.gas
    return Moment(
        at_s=state.at_s, phase=mind.phase, supply=electric.supply, plug_a=electric.plug_on_a,
        plug_v=electric.plug_on_v, plug_c=state.plug_c, pump_hz=hz, pump_v=electric.pump_v,
        pump_ticks=hz > 0.0 and fuel_line.moves(heater, electric.pump_v),
        fuel_ml_per_s=fed.ml_per_s, bubbles=fed.stroke.air_share,
        suction_kpa=fed.stroke.suction_kpa,
        fan_share=state.speed_rad_per_s / motors.FULL_RAD_PER_S, body_c=state.body_c,
        outlet_c=flows.outlet_c, outlet_m_per_s=burning.outlet_m_per_s, inlet_c=burning.inlet_c,
        exhaust_c=flows.exhaust_c, flame=state.flame_s > 0.0, air_ratio=gas.air_ratio,
        o2_percent=gas.o2_percent, co2_percent=gas.co2_percent, co_ppm=gas.co_ppm,
        smoke_spot=gas.smoke_spot, white_smoke_ml_per_s=burning.flame.white_ml_per_s,
        heat_w=flows.air_w, pool_ml=state.pool_ml, cabin_c=state.cabin_c,
        cabin_co_ppm=state.cabin_co_ppm,
        flame_sensor_ohm=ohms.flame, overheat_sensor_ohm=ohms.overheat,
        room_sensor_ohm=ohms.room, code=mind.code,
        rubs=heater.motor.bearing_drag_nm > _RUBS_NM,
    )  # fmt: skip


def step(heater: Heater, state: State, mind: Mind, out: Outside, dt_s: float) -> Stepped:
    """Run a unit for one small step of time (s; 0.1 to 0.5), its slow parts held still."""
    does = commands_of(mind, heater.control_unit)
    if not _awake(state, heater):
        does = Commands(0.0, 0.0, 0.0)
    electric = _electric(heater, state, mind, out, does)
    pump_hz = does.pump_hz if electric.pump_v > 0.0 else 0.0
    burning = burn(heater, state, pump_hz, electric.pump_v, dt_s)
    after = _moved(heater, state, electric, burning, dt_s)
    ohms = _sensor_ohms(heater, after)
    senses = _senses(heater, after, electric, ohms, out)
    thought = decide(mind, senses, heater.control_unit, dt_s)
    tally = used(burning, electric.supply, pump_hz * dt_s, dt_s)
    moment = _seen(heater, (after, mind, ohms), electric, burning, pump_hz)
    return Stepped(after, thought, tally, moment)
