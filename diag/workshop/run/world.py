"""A unit in the workshop: started, run, switched off and worked upon, with what follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random
from types import MappingProxyType

from diag.workshop.amount import WorkshopError
from diag.workshop.check import mistakes_of
from diag.workshop.control.controller import Mind
from diag.workshop.control.states import LIMITS, NO_FLAME
from diag.workshop.draw import ClassNumbers, heater_of
from diag.workshop.fault import TRIGGERS, Fault, Trigger, apply_fault
from diag.workshop.heater import PARTS, Heater
from diag.workshop.laws import battery as cells
from diag.workshop.laws.fuel_line import draws_air, line_ml
from diag.workshop.laws.supply import NODES, Jumper
from diag.workshop.run.moment import Moment, State, Usage, at_rest
from diag.workshop.run.slow import settled, usage_sum
from diag.workshop.run.step import Outside, step
from diag.workshop.run.trace import Trace
from diag.workshop.run.visiting import Visitor, brought_out, look, visitor

STEP_S = 0.2
_SETTLES_EVERY = 5  # steps: what is slow is brought up to date once a second
_BANG_ML = 5.0
_GLOWS_OUT_S = 40.0
_WARM_C = 90.0
_COLD_C = 0.0


@dataclass(frozen=True, slots=True)
class WorldEvent:
    """Hold something that happened at a time (s) of the world."""

    at_s: float
    what: str


class World:
    """Run one unit in time and let people act upon it.

    `heater` holds the parts as they are now, `trace` all moments since the world began, `events`
    what happened, `tally` what was used. Nothing happens but by `run` and the acts.
    """

    def __init__(
        self,
        heater: Heater,
        random: Random,
        faults: Sequence[Fault] = (),
        numbers: ClassNumbers = MappingProxyType({}),
    ) -> None:
        """Put faults into a sound unit of a class; raises `WorkshopError` for one that cannot be.

        New parts for it are drawn from the class's numbers; without these there are none.
        """
        self._numbers = numbers
        self._random = random
        for fault in faults:
            if fault.comes_and_goes is None:
                heater = apply_fault(heater, fault)
        self._visitors = [visitor(heater, f) for f in faults if f.comes_and_goes is not None]
        mistakes = mistakes_of(heater)
        if mistakes:
            raise WorkshopError(str(mistakes[0]))
        self.heater = heater
        self.state: State = at_rest(heater)
        self.mind = Mind(code=int(heater.control_unit.code))
        self.tally = Usage()
        self.events: list[WorldEvent] = []
        self.moments: list[Moment] = []
        self._out = Outside()

    @property
    def trace(self) -> Trace:
        """Give all that was seen since the world began."""
        return Trace(self.moments)

    @property
    def phase(self) -> str:
        """Give the state that the control unit is in."""
        return self.mind.phase

    def may_come(self, part: str, quantity: str) -> bool:
        """Say whether a fault of that quantity comes and goes."""
        return any((g.fault.part, g.fault.quantity) == (part, quantity) for g in self._visitors)

    def start(self) -> None:
        """Switch the unit on at its panel, from a rest of any length."""
        self.look_again()
        self.mind = replace(self.mind, was_asked=False)
        self._out = replace(self._out, switched_on=True)

    def switch_off(self) -> None:
        """Switch the unit off at its panel; it cools down by itself while the world runs."""
        self._out = replace(self._out, switched_on=False)

    def run(self, seconds: float) -> Trace:
        """Run for whole seconds and give what was seen; raises `WorkshopError` below 0 s."""
        if seconds < 0.0:
            raise WorkshopError(f"`seconds` is {seconds:g} s: expected 0 s or more")
        first = len(self.moments)
        for _ in range(round(seconds / STEP_S / _SETTLES_EVERY)):
            self._second()
        return Trace(self.moments[first:])

    def run_to(self, *phases: str, within_s: float = 1200.0) -> Trace:
        """Run for a second at least, until the control unit is in one of some phases.

        It ends when a time (s) is over, whatever the phase.
        """
        first, end_s = len(self.moments), self.state.at_s + within_s
        self._second()
        while self.mind.phase not in phases and self.state.at_s < end_s:
            self._second()
        return Trace(self.moments[first:])

    def _second(self) -> None:
        """Take the small steps of a second, then let them leave their mark on the parts."""
        tally = Usage()
        for _ in range(_SETTLES_EVERY):
            before = self.state
            taken = step(self.heater, before, self.mind, self._out, STEP_S)
            self.state = taken.state
            self._note(before, taken.mind)
            self.mind = taken.mind
            self.moments.append(taken.moment)
            tally = usage_sum(tally, taken.tally)
        self.tally = usage_sum(self.tally, tally)
        self._settle(tally)
        if self.state.body_c > _WARM_C:
            self._bring_out("warm")
        if self.heater.weather.temperature_c < _COLD_C:
            self._bring_out("cold")

    def _settle(self, tally: Usage) -> None:
        before = self.heater
        seconds = STEP_S * _SETTLES_EVERY
        self.heater = settled(before, self.state, tally, self.moments[-1], seconds)
        if self.heater.fuse.blown > before.fuse.blown:
            self._happens("the fuse blows")
        if self.heater.control_unit.overheated > before.control_unit.overheated:
            self._happens("the control unit is cooked")

    def _note(self, before: State, thought: Mind) -> None:
        """Note what happened in a step, and count starts that came to nothing."""
        if self.state.flame_s > 0.0 and before.flame_s == 0.0:
            self._happens("the flame lights")
            if before.pool_ml > _BANG_ML:
                self._happens("it lights with a bang")
        if self.state.flame_s == 0.0 and before.flame_s > 0.0:
            self._happens("the flame dies")
        unit = self.heater.control_unit
        if thought.phase != self.mind.phase and thought.phase == "fault cool-down":
            self._happens(f"it stops with {thought.code} flashes")
            failed = unit.failed_starts + (1.0 if thought.code == NO_FLAME else 0.0)
            locked = 1.0 if failed >= LIMITS.failed_starts else unit.locked
            if locked > unit.locked:
                self._happens("it locks itself")
            unit = replace(unit, failed_starts=failed, locked=locked, code=float(thought.code))
        elif thought.phase == "ramp" and unit.failed_starts:
            unit = replace(unit, failed_starts=0.0)
        if unit is not self.heater.control_unit:
            self.heater = replace(self.heater, control_unit=unit)

    def _happens(self, what: str) -> None:
        self.events.append(WorldEvent(self.state.at_s, what))

    def _bring_out(self, trigger: Trigger, part: str | None = None) -> None:
        for index, guest in enumerate(self._visitors):
            if part in (None, guest.fault.part):
                self._change(*brought_out(self.heater, guest, trigger), index)

    def look_again(self) -> None:
        """Let chance say anew which of the faults that come and go are there."""
        for index, guest in enumerate(self._visitors):
            self._change(*look(self.heater, guest, self._random), index)

    def _change(self, heater: Heater, guest: Visitor, index: int) -> None:
        self.heater, self._visitors[index] = heater, guest

    def rest(self, hours: float) -> None:
        """Let the unit stand for a time (h): it cools, the battery is drained, the air clears."""
        if self.mind.phase not in ("off", "fault"):
            raise WorkshopError(
                f"the unit is in `{self.mind.phase}`: switch it off and let it cool before it rests"
            )
        heater = self.heater
        battery, loads = heater.battery, heater.other_loads
        drain_a = loads.drain_a + loads.load_a
        if heater.fuse.blown < 0.5 and heater.isolator.shut > 0.5:
            drain_a += heater.control_unit.standby_a
        charge = battery.charge - drain_a * hours / cells.usable_ah(battery)
        outside_c = heater.weather.temperature_c
        self.heater = replace(
            heater,
            battery=replace(battery, charge=min(1.0, max(0.0, charge))),
            cabin=replace(heater.cabin, temperature_c=outside_c, carbon_monoxide_ppm=0.0),
        )
        vacuum_kpa = self.state.tank_vacuum_kpa * heater.tank.vent_blockage
        stood = at_rest(self.heater, self.state.at_s + hours * 3600.0)
        self.state = replace(stood, line_ml=self.state.line_ml, tank_vacuum_kpa=vacuum_kpa)

    def swap(self, part: str) -> None:
        """Put a new, sound part in the place of the old one; its faults go with it."""
        if part not in PARTS:
            raise WorkshopError(f"there is no part `{part}`: expected one of {', '.join(PARTS)}")
        attribute = part.replace(" ", "_")
        new = getattr(heater_of(self._numbers, self._random), attribute)
        self._visitors = [g for g in self._visitors if g.fault.part != part]
        self.heater = replace(self.heater, **{attribute: new})
        if part == "burner":
            self.state = replace(self.state, pool_ml=new.pooled_ml)
        if part == "control unit":
            self.mind = Mind()

    def set(self, part: str, quantity: str, change_to: float | str) -> None:
        """Set a quantity of a part as an act would: open an outlet, fill the tank, set the panel.

        Raises `WorkshopError` for a part, quantity or value that there is not.
        """
        self.heater = apply_fault(self.heater, Fault(part, quantity, "becomes", change_to))
        if part in ("suction hose", "standpipe", "tank") and self.heater.tank.level_l > 0.0:
            self.state = replace(self.state, line_ml=min(self.state.line_ml, line_ml(self.heater)))
        if (part, quantity) == ("burner", "pooled"):
            self.state = replace(self.state, pool_ml=self.heater.burner.pooled_ml)

    def fill_line(self) -> None:
        """Pump until the line is full, where the pickup stands in fuel."""
        if not draws_air(self.heater):
            self.state = replace(self.state, line_ml=line_ml(self.heater))

    def put_right(self, part: str, quantity: str, value: float | str) -> None:
        """Set a quantity for good: a fault of it that comes and goes does so no more."""
        kept = [g for g in self._visitors if (g.fault.part, g.fault.quantity) != (part, quantity)]
        self._visitors = kept
        self.set(part, quantity, value)

    def left_to_cool(self, hours: float) -> None:
        """Switch it off and let it stand: it glows out, and its cool-down is over by then."""
        if self.mind.phase not in ("off", "fault"):
            self.switch_off()
            self.run(_GLOWS_OUT_S)
            self.mind = Mind(code=self.mind.code)
        self._out = replace(self._out, switched_on=False)
        self.rest(hours)

    def disturb(self, trigger: Trigger, part: str | None = None) -> None:
        """Shake, warm, wet or cool one part or all; raises `WorkshopError` for another word."""
        if part is not None and part not in PARTS:
            raise WorkshopError(f"there is no part `{part}`: expected one of {', '.join(PARTS)}")
        if trigger not in TRIGGERS:
            raise WorkshopError(
                f"`{trigger}` brings nothing out: expected one of {', '.join(TRIGGERS)}"
            )
        self._bring_out(trigger, part)

    def jump(self, first: str | None, second: str = "") -> None:
        """Put a jumper wire between two places of the supply, or take it off (None)."""
        if first is None:
            self._out = replace(self._out, jumper=None)
            return
        for node in (first, second):
            if node not in NODES:
                raise WorkshopError(
                    f"`{node}` is no place for a jumper: expected one of {', '.join(NODES)}"
                )
        self._out = replace(self._out, jumper=Jumper(first, second))

    def cut_power(self) -> None:
        """Open the isolator, whatever the unit is doing."""
        self.set("isolator", "shut", 0.0)

    def restore_power(self) -> None:
        """Shut the isolator again."""
        self.set("isolator", "shut", 1.0)

    def unlock(self) -> None:
        """Clear the lock-out and the count of failed starts."""
        unit = replace(self.heater.control_unit, locked=0.0, failed_starts=0.0, code=0.0)
        self.heater = replace(self.heater, control_unit=unit)
        self.mind = Mind()
