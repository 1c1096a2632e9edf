"""A visit at the bench: acts done on a unit, and what findings read by them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from random import Random
from types import MappingProxyType

from diag.workshop.data.findings import REST, FindingReads, LookedFinding
from diag.workshop.heater import Heater
from diag.workshop.meters import NO_MISTAKES, Meter, Mistakes, meter
from diag.workshop.run.trace import Trace
from diag.workshop.run.world import World
from diag.workshop.seen import Seen, flashes, lit_at_the_end, panel_lit
from diag.workshop.standing import pumped_ml

ENDED = ("fault cool-down", "off")
PULSES = 100
TURNED_UP_C = 30.0
ROOM = "in the room"
ONE_RUN = ("a full run", "a low run", "a switch-off")
"""What follows upon each other in one run, where one check wants more than one of it."""


class Visit:
    """Do what checks want of one unit, and read what they ask.

    A check's readings are of one run: `begin` says that another check begins.
    """

    def __init__(
        self,
        world: World,
        new: Heater,
        findings: Mapping[str, FindingReads],
        random: Random,
        mistakes: Mistakes = NO_MISTAKES,
    ) -> None:
        """Come to a unit with the meters of one drawer; `new` is a sound one of its class."""
        self.world = world
        self.new = new
        self.findings = findings
        self.random = random
        self.mistakes = mistakes
        self.starts = 0
        self.lit_before = False
        self.lit_panel = False
        self._came_with = 0
        self._meters: dict[str, Meter] = {}
        self._seen: dict[str, Seen] = {}
        self._wanted: frozenset[str] = frozenset()
        self._started = False

    @property
    def lock_came(self) -> bool:
        """Say whether it has locked itself since it came, or since that was cleared."""
        events = self.world.events[self._came_with :]
        return any(event.what == "it locks itself" for event in events)

    def unlock(self) -> None:
        """Clear a lock-out, as the manual says."""
        self.world.unlock()
        self._came_with = len(self.world.events)

    def begin(self, findings: Collection[str]) -> None:
        """Begin a check that yields these findings: what it wants is done anew."""
        self._seen.clear()
        self._started = False
        told = [self.findings[name] for name in findings if name in self.findings]
        self._wanted = frozenset(each.during for each in told)

    def seen(self, act: str) -> Seen:
        """Do an act, unless this check has done it, and give what is seen.

        Who runs it at full power has watched its start as well, and reads the room meanwhile; who
        is to turn it down and to switch it off as well does so then, in one run.
        """
        if act in ("a start", ROOM) and "a full run" in self._wanted:
            act = "a full run"
        if act in ONE_RUN:
            for before in ONE_RUN[: ONE_RUN.index(act)]:
                if before in self._wanted:
                    self.seen(before)
        if act not in self._seen:
            self._seen[act] = ACTS[act](self)
        return self._seen[act]

    def tell(self, finding: str) -> float | str | None:
        """Give what a finding reads: a number in its reading's unit, a state, None for nothing."""
        told = self.findings[finding]
        seen = self.seen(told.during)
        if isinstance(told, LookedFinding):
            state = told.state(seen)
            if state is None or not self.mistakes.looks:
                return state
            return told.taken_for(state, self.random)
        true = told.reading.of(seen)
        if true is None or isinstance(true, str) or not told.meter:
            return true
        read = self.meter(told.meter).read(true, self.random, self.mistakes)
        if read is None:  # whoever gets no reading holds the meter to it once more
            read = self.meter(told.meter).read(true, self.random, self.mistakes)
        return read

    def truth(self, finding: str) -> float | str | None:
        """Give what a finding would read without any error of meter or man."""
        told = self.findings[finding]
        seen = self.seen(told.during)
        return told.state(seen) if isinstance(told, LookedFinding) else told.reading.of(seen)

    def meter(self, name: str) -> Meter:
        """Give the meter of that name out of the drawer, the same one each time."""
        if name not in self._meters:
            self._meters[name] = meter(name, self.random)
        return self._meters[name]

    def look(self, trace: Trace | None = None, first_event: int = 0, **amounts: float) -> Seen:
        """Give what is seen of the unit as it is now, after a run or at rest."""
        world = self.world
        if trace is None:
            if world.phase not in ("off", "fault"):
                world.left_to_cool(0.25)
            self._started = False
            trace = world.run(1.0)
        so_far = max((m.cabin_co_ppm for m in world.moments[::25]), default=0.0)
        bangs = float(sum(event.what == "it lights with a bang" for event in world.events))
        named = {name.replace("_", " "): value for name, value in amounts.items()}
        named |= {"cabin monoxide": so_far, "bangs": bangs}
        return Seen(world.heater, self.new, trace, world.events[first_event:], named)

    def start(self, after_it_lit_s: float = 150.0) -> Seen:
        """Start it and watch, until it has burnt for a time (s) or stopped by itself.

        Where it has locked itself in an earlier start of this visit, that is cleared first.
        """
        world = self.world
        world.left_to_cool(0.25)
        self._started = True
        if self.lock_came:
            self.unlock()
        first, first_event = len(world.moments), len(world.events)
        self.starts += 1
        world.start()
        world.run_to("ramp", *ENDED, within_s=800.0)
        if world.phase not in ENDED:
            world.run_to(*ENDED, within_s=after_it_lit_s)
        world.run(2.0)
        return self.look(Trace(world.moments[first:]), first_event)

    def go_on(self, after_it_lit_s: float) -> None:
        """Go on with this check's run, or start one; what stopped by itself is not tried again."""
        if not self._started:
            self.start(after_it_lit_s)

    @contextmanager
    def meanwhile(self, **parts: Mapping[str, float]) -> Iterator[None]:
        """Change quantities (attributes by part) for a while, and put them back."""
        before = self.world.heater
        changed = {name: replace(getattr(before, name), **new) for name, new in parts.items()}
        self.world.heater = replace(before, **changed)
        yield
        now = self.world.heater
        restored = {
            name: replace(getattr(now, name), **{each: getattr(getattr(before, name), each)
                                                 for each in new})
            for name, new in parts.items()
        }  # fmt: skip
        self.world.heater = replace(now, **restored)

    def compared(self, seen: Seen) -> Seen:
        """Add whether a start went better than the last one that was only watched."""
        better = float(lit_at_the_end(seen) > 0.5 and not self.lit_before)
        return replace(seen, amounts={**seen.amounts, "better than before": better})


def _watch(visit: Visit) -> Seen:
    seen = visit.start()
    visit.lit_before = lit_at_the_end(seen) > 0.5
    visit.lit_panel = panel_lit(seen) > 0.5
    return seen


def _full_run(visit: Visit) -> Seen:
    """Run it at full heat: who wants that turns the panel up first."""
    with visit.meanwhile(panel={"set_to_c": max(TURNED_UP_C, visit.world.heater.panel.set_to_c)}):
        seen = visit.start(after_it_lit_s=600.0)
    visit.lit_before = lit_at_the_end(seen) > 0.5
    return seen


def _low_run(visit: Visit) -> Seen:
    world = visit.world
    visit.go_on(after_it_lit_s=90.0)
    first = len(world.moments)
    cold = {"set_to_c": max(-50.0, world.state.cabin_c - 10.0)}
    with visit.meanwhile(panel=cold):
        if world.phase not in ENDED:
            world.run(150.0)
    return visit.look(Trace(world.moments[first:]))


def _switch_off(visit: Visit) -> Seen:
    world = visit.world
    visit.go_on(after_it_lit_s=90.0)
    first = len(world.moments)
    world.switch_off()
    world.run_to("off", "fault", within_s=700.0)
    return visit.look(Trace(world.moments[first:]))


def _with_charger(visit: Visit) -> Seen:
    with visit.meanwhile(charger={"limit_a": 40.0}):
        return visit.compared(visit.start())


def _all_else_off(visit: Visit) -> Seen:
    with visit.meanwhile(other_loads={"load_a": 0.0}):
        return visit.compared(visit.start())


def _cap_off(visit: Visit) -> Seen:
    with visit.meanwhile(tank={"vent_blockage": 0.0}):
        return visit.compared(visit.start())


def _full_tank(visit: Visit) -> Seen:
    visit.world.set("tank", "level", max(90.0, visit.world.heater.tank.level_l))
    return visit.compared(visit.start())


def _rested(visit: Visit) -> Seen:
    visit.world.left_to_cool(0.5)
    return visit.compared(visit.start())


def _reset(visit: Visit) -> Seen:
    visit.world.left_to_cool(0.25)
    visit.world.mind = type(visit.world.mind)()
    return visit.compared(visit.start())


def _other_panel(visit: Visit) -> Seen:
    with visit.meanwhile(panel={"dead": 0.0}):
        seen = visit.start()
        lit = float(panel_lit(seen) > 0.5 and not visit.lit_panel)
    return replace(seen, amounts={**seen.amounts, "panel lit there": lit})


def _three_starts(visit: Visit) -> Seen:
    clean = 0.0
    for _ in range(3):
        seen = visit.start(after_it_lit_s=30.0)
        first_time = seen.trace.phases.count("glow") == 1
        clean += float(first_time and lit_at_the_end(seen) > 0.5 and flashes(seen) < 0.5)
    return replace(seen, amounts={**seen.amounts, "clean starts": clean})


def _pumped(visit: Visit, line_ml: float | None = None) -> Seen:
    heater = visit.world.heater
    alive = heater.control_unit.overheated < 0.5 and heater.fuse.blown < 0.5
    alive = alive and heater.isolator.shut > 0.5
    if not alive:
        return visit.look()  # what is dead gives no pulses: there is nothing to measure
    return visit.look(fuel_pumped=pumped_ml(heater, PULSES, line_ml=line_ml))


def _pumped_from_a_can(visit: Visit) -> Seen:
    can = {
        "tank": {"vent_blockage": 0.0, "level_l": 200.0},
        "standpipe": {"lift_m": 0.0},
        "suction_hose": {"collapse": 0.0, "air_leak": 0.0, "length_m": 0.3},
        "filter": {"clogging": 0.0},
    }
    with visit.meanwhile(**can):
        return _pumped(visit)


ACTS: Mapping[str, Callable[[Visit], Seen]] = MappingProxyType(
    {
        REST: lambda visit: visit.look(),
        ROOM: lambda visit: visit.look(),
        "a start": _watch,
        "a full run": _full_run,
        "a low run": _low_run,
        "a switch-off": _switch_off,
        "a start with a charger": _with_charger,
        "a start with all else off": _all_else_off,
        "a start with the cap off": _cap_off,
        "a start from a full tank": _full_tank,
        "a start after a rest": _rested,
        "a start after a reset": _reset,
        "a start with another panel": _other_panel,
        "three starts": _three_starts,
        "pumping": lambda visit: _pumped(visit, visit.world.state.line_ml),
        "pumping from a can": _pumped_from_a_can,
    }
)
"""What is done with a unit so that something can be read, by the name that data files use."""
