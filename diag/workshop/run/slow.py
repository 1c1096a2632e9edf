"""What a run leaves in the parts: charge, level, soot, pooled fuel, heat in joints and fuse."""

from __future__ import annotations

from dataclasses import replace
from operator import add
from typing import Any, TypeVar

from diag.workshop.amount import OPEN_OHM
from diag.workshop.heater import Heater
from diag.workshop.laws.battery import may_charge, usable_ah
from diag.workshop.parts.supply import BatteryPart, Fuse, Joint
from diag.workshop.run.moment import Moment, State, Usage

Part = TypeVar("Part")

_HOT_JOINT_W = 4.0  # memory: a joint that sheds more browns and grows worse
_COOKED_C = 95.0  # memory: electronics
_FUSE_S = 6.0
_GROWS_PER_H = 0.3  # memory: cracks and leaks in the hot gas


def usage_sum(first: Usage, second: Usage) -> Usage:
    """Add two tallies.

    >>> usage_sum(Usage(pulses=1.0), Usage(pulses=2.0)).pulses
    3.0
    """
    return Usage(*map(add, first, second))


def _fuse(fuse: Fuse, amps: float, dt_s: float) -> Fuse:
    """Heat a fuse by its current: it bears 1.15 times its rating, and blows within 3 s at twice.

    Blade fuses, from memory: 0.15 to 5 s at 200 %, 0.75 to 600 s at 135 %.
    """
    gained = ((amps / (1.15 * fuse.rating_a)) ** 2 - 1.0) * dt_s / _FUSE_S
    heating = min(1.0, max(0.0, fuse.heating + gained))
    return _with(fuse, heating=heating, blown=1.0 if heating >= 1.0 else fuse.blown)


def _joint(joint: Joint, amps: float, dt_s: float) -> Joint:
    watts = amps**2 * joint.resistance_ohm
    if watts < _HOT_JOINT_W:
        return joint
    return Joint(joint.resistance_ohm * (1.0 + 2e-5 * watts * dt_s))


def _grown(share: float, hot_s: float) -> float:
    """Let damage that is there grow by a share of itself an hour; what is sound stays so."""
    return min(1.0, share * (1.0 + _GROWS_PER_H * hot_s / 3600.0))


def _battery(battery: BatteryPart, charge_as: float) -> BatteryPart:
    """Take the charge (A s) that was used; frost bars what would come in."""
    used = charge_as / 3600.0 / usable_ah(battery)
    if used < 0.0 and not may_charge(battery):
        return battery
    return _with(battery, charge=min(1.0, max(0.0, battery.charge - used)))


def _with(part: Part, **changes: float) -> Part:
    """Give a part with changes, the same one where it has them already."""
    same = all(getattr(part, name) == value for name, value in changes.items())
    return part if same else replace(part, **changes)  # type: ignore[type-var]


def _fired(heater: Heater, state: State, tally: Usage) -> dict[str, Any]:
    """Give the parts that flame and fuel mark: soot, pooled fuel, damage that grows in the heat."""
    hot_s = tally.burning_s
    tank, burner, exchanger = heater.tank, heater.burner, heater.exchanger
    return {
        "tank": _with(tank, level_l=max(0.0, tank.level_l - tally.pumped_ml / 1000.0)),
        "burner": _with(
            burner, pooled_ml=min(200.0, state.pool_ml), carbon=min(1.0, burner.carbon + tally.soot)
        ),
        "exchanger": _with(
            exchanger,
            soot=min(1.0, exchanger.soot + tally.soot),
            crack=_grown(exchanger.crack, hot_s),
        ),
        "exhaust": _with(heater.exhaust, leak=_grown(heater.exhaust.leak, hot_s)),
        "cabin": _with(
            heater.cabin,
            temperature_c=state.cabin_c,
            carbon_monoxide_ppm=min(100_000.0, state.cabin_co_ppm),
        ),
    }


def settled(heater: Heater, state: State, tally: Usage, moment: Moment, dt_s: float) -> Heater:
    """Give the unit with what a short while (s) of its run has done to its parts."""
    plug, unit, supply = heater.glow_plug, heater.control_unit, moment.supply
    if state.plug_c > plug.burns_out_at_c:
        plug = _with(plug, cold_resistance_ohm=OPEN_OHM)
    if state.control_c > _COOKED_C:
        unit = _with(unit, overheated=1.0)
    return replace(
        heater,
        **_fired(heater, state, tally),
        battery=_battery(heater.battery, tally.charge_as),
        fuse=_fuse(heater.fuse, abs(supply.fuse_a), dt_s),
        positive_joint=_joint(heater.positive_joint, supply.fuse_a, dt_s),
        negative_joint=_joint(heater.negative_joint, supply.unit_a, dt_s),
        glow_plug=plug,
        control_unit=unit,
    )
