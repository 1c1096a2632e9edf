"""One step of the control unit: conditions from what it senses, then the next state."""

from __future__ import annotations

from dataclasses import dataclass, replace

from diag.workshop.control.states import (
    BURNING,
    FLAME_LOST,
    LIMITS,
    NO_FLAME,
    PHASES,
    RESTING,
    SOFTLY,
    STILL_HOT,
    TROUBLES,
)
from diag.workshop.parts.sensing import ControlUnit


@dataclass(frozen=True, slots=True)
class Senses:
    """Hold what reaches the control unit; a temperature of None is a broken circuit."""

    unit_v: float
    flame_c: float | None
    body_c: float | None
    room_c: float | None
    plug_a: float
    """The plug's current while its driver is on; 0 in a gap."""
    pump_ohm: float
    fan_share: float
    asked: bool
    set_to_c: float


@dataclass(frozen=True, slots=True)
class Mind:
    """Hold what the control unit knows of the run: its state, and what it has counted."""

    phase: str = "off"
    phase_s: float = 0.0
    heat: float = 0.0
    tries: int = 0
    flame_losses: int = 0
    low_volts_s: float = 0.0
    fan_slow_s: float = 0.0
    code: int = 0
    was_asked: bool = False
    """Whether the switch was on already: only switching it on anew starts the unit."""


@dataclass(frozen=True, slots=True)
class Commands:
    """Hold what the drivers are told: fan speed as a share, plug as a share of time, pulses."""

    fan: float
    plug_share: float
    pump_hz: float


def commands_of(mind: Mind, unit: ControlUnit) -> Commands:
    """Give what a state of mind tells the drivers."""
    phase = PHASES[mind.phase]
    fan = phase.fan
    if fan is None:
        fan = LIMITS.low_fan + mind.heat * (LIMITS.full_fan - LIMITS.low_fan)
    soft = min(1.0, mind.phase_s / LIMITS.plug_soft_s) if mind.phase in SOFTLY else 1.0
    share = LIMITS.plug_soft_share + soft * (1.0 - LIMITS.plug_soft_share)
    rate = {
        "none": 0.0,
        "start": LIMITS.start_hz,
        "heat": LIMITS.low_hz + mind.heat * (LIMITS.full_hz - LIMITS.low_hz),
    }[phase.feed]
    return Commands(fan, share if phase.plug else 0.0, rate * unit.pump_setting)


def _circuits(mind: Mind, senses: Senses, unit: ControlUnit) -> dict[str, bool]:
    """Say which circuits and volts are out of order."""
    settled = mind.phase_s > 5.0
    return {
        "low volts": mind.low_volts_s > unit.low_volts_wait_s,
        "high volts": senses.unit_v > unit.high_volts_v,
        "fan too slow": mind.fan_slow_s > LIMITS.fan_slow_s,
        "plug circuit": settled
        and not LIMITS.plug_least_w <= senses.plug_a * senses.unit_v <= LIMITS.plug_most_w,
        "pump circuit": not 2.0 <= senses.pump_ohm <= 200.0,
        "flame sensor circuit": senses.flame_c is None,
        "overheat sensor circuit": senses.body_c is None,
        "room sensor circuit": senses.room_c is None,
        "too hot": senses.body_c is not None and senses.body_c > LIMITS.too_hot_c,
    }


def _conditions(mind: Mind, senses: Senses, unit: ControlUnit) -> dict[str, bool]:
    """Say which of the conditions for leaving a state hold now."""
    flame_c = senses.flame_c if senses.flame_c is not None else -60.0
    body_c = senses.body_c if senses.body_c is not None else 999.0
    room_c = senses.room_c if senses.room_c is not None else 20.0
    cool = flame_c < LIMITS.cool_c
    tries_left = mind.tries < LIMITS.tries and mind.flame_losses <= LIMITS.flame_losses
    band = LIMITS.room_band_k
    return {
        "asked": senses.asked and not mind.was_asked and unit.locked < 0.5,
        "switched off": not senses.asked,
        "time up": mind.phase_s >= PHASES[mind.phase].most_s,
        "cool": cool,
        "flame seen": flame_c > LIMITS.flame_seen_c,
        "flame lost": flame_c < LIMITS.flame_lost_c,
        "body warm": body_c > LIMITS.body_warm_c,
        "body cool": body_c < LIMITS.body_cool_c,
        "room warm": room_c > senses.set_to_c + band / 2.0,
        "wants heat": room_c < senses.set_to_c - band / 2.0 and body_c < LIMITS.body_fine_c,
        "at full heat": mind.heat >= 1.0,
        "cool and tries left": cool and tries_left,
        "no tries left": not tries_left,
    }


def _counted(mind: Mind, senses: Senses, unit: ControlUnit, dt_s: float) -> Mind:
    """Let the counters of a state of mind run on by a step of time (s)."""
    low = senses.unit_v < unit.low_volts_v
    wanted = commands_of(mind, unit).fan
    slow = wanted > 0.0 and senses.fan_share < 0.45 * wanted and mind.phase_s > 1.5
    per_s = {"low": -1.0 / LIMITS.ease_s, "ramp": 1.0 / LIMITS.ramp_s}.get(mind.phase, 0.0)
    return replace(
        mind,
        phase_s=mind.phase_s + dt_s,
        low_volts_s=mind.low_volts_s + dt_s if low else 0.0,
        fan_slow_s=mind.fan_slow_s + dt_s if slow else 0.0,
        heat=min(1.0, max(0.0, mind.heat + per_s * dt_s)),
    )


def _entered(mind: Mind, name: str) -> Mind:
    """Enter a state, and count tries and lost flames on the way."""
    tries, losses, code, heat = mind.tries, mind.flame_losses, mind.code, mind.heat
    if name == "fan run-up":
        tries, losses, code, heat = 0, 0, 0, 0.0
    elif name == "flame":
        heat = 0.2
    elif name == "purge" and mind.phase == "fuel":
        tries += 1
    elif name == "purge" and mind.phase in BURNING:
        losses += 1
    elif name == "fault cool-down" and mind.phase == "purge":
        code = FLAME_LOST if losses > LIMITS.flame_losses else NO_FLAME
    elif name == "fault cool-down" and mind.phase == "fan run-up":
        code = STILL_HOT
    return Mind(name, 0.0, heat, tries, losses, 0.0, 0.0, code, mind.was_asked)


def decide(mind: Mind, senses: Senses, unit: ControlUnit, dt_s: float) -> Mind:
    """Give the state of mind after a step of time (s) with what is sensed."""
    return replace(_decided(mind, senses, unit, dt_s), was_asked=senses.asked)


def _decided(mind: Mind, senses: Senses, unit: ControlUnit, dt_s: float) -> Mind:
    if senses.unit_v < LIMITS.wakes_share * unit.low_volts_v or unit.overheated > 0.5:
        return replace(Mind(), code=mind.code)
    mind = _counted(mind, senses, unit, dt_s)
    if mind.phase not in RESTING:
        wrong = _circuits(mind, senses, unit)
        for trouble in TROUBLES:
            if wrong[trouble.condition] and mind.phase in trouble.phases:
                return replace(_entered(mind, "fault cool-down"), code=trouble.flashes)
    phase = PHASES[mind.phase]
    if mind.phase_s < phase.least_s:
        # Only the switch is heeded before the least time is over.
        if not senses.asked and phase.exits[0][0] == "switched off":
            return _entered(mind, phase.exits[0][1])
        return mind
    holds = _conditions(mind, senses, unit)
    for condition, following in phase.exits:
        if holds[condition]:
            return _entered(mind, following)
    return mind
