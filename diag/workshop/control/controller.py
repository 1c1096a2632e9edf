"""One step of the control unit: conditions from what it senses, then the next state."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from diag.model.frozen import frozen
from diag.workshop.control.states import (
    BURNING,
    FLAME_LOST,
    LIMITS,
    NO_FLAME,
    PHASES,
    SOFTLY,
    STILL_HOT,
    TROUBLES,
)
from diag.workshop.parts.sensing import ControlUnit


@frozen
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


@frozen
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


@frozen
class Commands:
    """Hold what the drivers are told: fan speed as a share, plug as a share of time, pulses."""

    fan: float
    plug_share: float
    pump_hz: float


def fan_share(mind: Mind) -> float:
    """Give the share of full speed that a state of mind wants of the fan."""
    fan = PHASES[mind.phase].fan
    if fan is None:
        return LIMITS.low_fan + mind.heat * (LIMITS.full_fan - LIMITS.low_fan)
    return fan


def commands_of(mind: Mind, unit: ControlUnit) -> Commands:
    """Give what a state of mind tells the drivers."""
    phase, share, rate = PHASES[mind.phase], 0.0, 0.0
    if phase.plug:
        soft = min(1.0, mind.phase_s / LIMITS.plug_soft_s) if mind.phase in SOFTLY else 1.0
        share = LIMITS.plug_soft_share + soft * (1.0 - LIMITS.plug_soft_share)
    if phase.feed == "start":
        rate = LIMITS.start_hz
    elif phase.feed == "heat":
        rate = LIMITS.low_hz + mind.heat * (LIMITS.full_hz - LIMITS.low_hz)
    return Commands(fan_share(mind), share, rate * unit.pump_setting)


def _plug_out_of_order(mind: Mind, senses: Senses, unit: ControlUnit) -> bool:
    watts = senses.plug_a * senses.unit_v
    return mind.phase_s > 5.0 and not LIMITS.plug_least_w <= watts <= LIMITS.plug_most_w


def _tries_left(mind: Mind) -> bool:
    return mind.tries < LIMITS.tries and mind.flame_losses <= LIMITS.flame_losses


def _flame_c(senses: Senses) -> float:
    return senses.flame_c if senses.flame_c is not None else -60.0


def _body_c(senses: Senses) -> float:
    return senses.body_c if senses.body_c is not None else 999.0


def _room_c(senses: Senses) -> float:
    return senses.room_c if senses.room_c is not None else 20.0


def _cool(senses: Senses) -> bool:
    return _flame_c(senses) < LIMITS.cool_c


SensedCondition = Callable[[Mind, Senses, ControlUnit], bool]

_CIRCUITS: Mapping[str, SensedCondition] = {
    "low volts": lambda m, s, u: m.low_volts_s > u.low_volts_wait_s,
    "high volts": lambda m, s, u: s.unit_v > u.high_volts_v,
    "fan too slow": lambda m, s, u: m.fan_slow_s > LIMITS.fan_slow_s,
    "plug circuit": _plug_out_of_order,
    "pump circuit": lambda m, s, u: not 2.0 <= s.pump_ohm <= 200.0,
    "flame sensor circuit": lambda m, s, u: s.flame_c is None,
    "overheat sensor circuit": lambda m, s, u: s.body_c is None,
    "room sensor circuit": lambda m, s, u: s.room_c is None,
    "too hot": lambda m, s, u: s.body_c is not None and s.body_c > LIMITS.too_hot_c,
}
"""Which circuits and volts are out of order."""

_CONDITIONS: Mapping[str, SensedCondition] = {
    "asked": lambda m, s, u: s.asked and not m.was_asked and u.locked < 0.5,
    "switched off": lambda m, s, u: not s.asked,
    "time up": lambda m, s, u: m.phase_s >= PHASES[m.phase].most_s,
    "cool": lambda m, s, u: _cool(s),
    "flame seen": lambda m, s, u: _flame_c(s) > LIMITS.flame_seen_c,
    "flame lost": lambda m, s, u: _flame_c(s) < LIMITS.flame_lost_c,
    "body warm": lambda m, s, u: _body_c(s) > LIMITS.body_warm_c,
    "body cool": lambda m, s, u: _body_c(s) < LIMITS.body_cool_c,
    "room warm": lambda m, s, u: _room_c(s) > s.set_to_c + LIMITS.room_band_k / 2.0,
    "wants heat": lambda m, s, u: (
        _room_c(s) < s.set_to_c - LIMITS.room_band_k / 2.0 and _body_c(s) < LIMITS.body_fine_c
    ),
    "at full heat": lambda m, s, u: m.heat >= 1.0,
    "cool and tries left": lambda m, s, u: _cool(s) and _tries_left(m),
    "no tries left": lambda m, s, u: not _tries_left(m),
}
"""Which of the conditions for leaving a state hold."""

_STOPS: Mapping[str, Sequence[tuple[SensedCondition, int]]] = {
    name: [(_CIRCUITS[each.condition], each.flashes) for each in TROUBLES if name in each.phases]
    for name in PHASES
}
_LEAVES: Mapping[str, Sequence[tuple[SensedCondition, str]]] = {
    name: [(_CONDITIONS[condition], following) for condition, following in phase.exits]
    for name, phase in PHASES.items()
}
_PER_S = {"low": -1.0 / LIMITS.ease_s, "ramp": 1.0 / LIMITS.ramp_s}


def _counted(mind: Mind, senses: Senses, unit: ControlUnit, dt_s: float) -> Mind:
    """Let the counters of a state of mind run on by a step of time (s)."""
    low = senses.unit_v < unit.low_volts_v
    wanted = fan_share(mind)
    slow = wanted > 0.0 and senses.fan_share < 0.45 * wanted and mind.phase_s > 1.5
    heat = mind.heat + _PER_S.get(mind.phase, 0.0) * dt_s
    return Mind(
        mind.phase,
        mind.phase_s + dt_s,
        min(1.0, max(0.0, heat)),
        mind.tries,
        mind.flame_losses,
        mind.low_volts_s + dt_s if low else 0.0,
        mind.fan_slow_s + dt_s if slow else 0.0,
        mind.code,
        mind.was_asked,
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
    thought = _decided(mind, senses, unit, dt_s)
    if thought.was_asked == senses.asked:
        return thought
    return replace(thought, was_asked=senses.asked)


def _decided(mind: Mind, senses: Senses, unit: ControlUnit, dt_s: float) -> Mind:
    if senses.unit_v < LIMITS.wakes_share * unit.low_volts_v or unit.overheated > 0.5:
        return Mind(code=mind.code)
    mind = _counted(mind, senses, unit, dt_s)
    for out_of_order, code in _STOPS[mind.phase]:
        if out_of_order(mind, senses, unit):
            return replace(_entered(mind, "fault cool-down"), code=code)
    phase = PHASES[mind.phase]
    if mind.phase_s < phase.least_s:
        # Only the switch is heeded before the least time is over.
        if not senses.asked and phase.exits[0][0] == "switched off":
            return _entered(mind, phase.exits[0][1])
        return mind
    for holds, following in _LEAVES[mind.phase]:
        if holds(mind, senses, unit):
            return _entered(mind, following)
    return mind
