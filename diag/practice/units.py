"""Units drawn by seed: class, scatter, weather and faults; and what their owners complain of.

How often a class or a sound unit comes in, and how often people slip: memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from random import Random

from diag.practice.world import WorldFiles
from diag.workshop import Fault, Heater, WorkshopError, World, heater_of, left_overnight
from diag.workshop.data.faults import FaultEntry
from diag.workshop.data.repairs import Put, mend
from diag.workshop.fault import changed
from diag.workshop.heater import read
from diag.workshop.laws.fuel_line import draws_air
from diag.workshop.meters import NO_MISTAKES, Mistakes
from diag.workshop.seen import Seen, flashes, into_cabin, lit_at_the_end, panel_lit, worst_joint_w
from diag.workshop.visit import Visit

SHARES = {"small 12 V": 0.5, "medium 12 V": 0.25, "small 24 V": 0.15, "medium 24 V": 0.1}
"""How often a class comes in."""
SOUND_SHARE = 0.08
"""Share of units that come in sound."""
COLDEST_C, WARMEST_C = -8.0, 18.0
SOUND_UNIT = "nothing wrong"
CHECK_OVER = "check it over"
STEAM = ("white smoke", "steam in frost")
"""What an owner may complain of in frost with nothing behind it, and what it is."""
COMES_WITHIN = 4
"""So often a unit is drawn until one comes in with a complaint; then it is to be checked over."""
IS_MADE_WITHIN = 50
"""So often the parts are drawn until they can be."""
COMPLAINS_WITHIN = 3
"""So often the weather is drawn until the owner has something to complain of."""
SLIPS = Mistakes(slip=0.005, dropout=0.01, looks=True)


@dataclass(slots=True)
class PracticeUnit:
    """One unit that came in: what it is, what is wrong, and the visit that it is on."""

    files: WorldFiles
    """What the world is made of."""
    number: int
    kind: str
    weather_c: float
    fault: str
    faults: tuple[Fault, ...]
    truths: tuple[frozenset[str], ...]
    told: dict[str, str]
    complaint: str
    answers: frozenset[str]
    """Causes that answer the complaint where no fault is behind it, whatever else may sleep."""
    sound: Heater
    """As it would be without its faults."""
    visit: Visit
    dangers: frozenset[str]
    """What is truly dangerous about it, by the ids of the rules."""

    @property
    def mended(self) -> bool:
        """Say whether no fault is left: each quantity has left its faulty value well behind."""
        return all(self._gone(fault) for fault in self.faults)

    def put_right(self, puts: Sequence[Put]) -> None:
        """Do a repair: what was read and begun before is over, a lock-out of this visit cleared."""
        mend(self.visit.world, puts)
        if self.visit.lock_came:
            self.visit.unlock()
        self.visit.begin(())

    def _gone(self, fault: Fault) -> bool:
        now = read(self.visit.world.heater, fault.part, fault.quantity)
        was = read(self.sound, fault.part, fault.quantity)
        if fault.comes_and_goes is not None:
            return not self.visit.world.may_come(fault.part, fault.quantity)
        if isinstance(now, str) or isinstance(was, str):
            return bool(now == was)
        faulty = changed(fault, was)
        return bool(abs(now - faulty) > 0.3 * abs(was - faulty))


def draw_unit(
    files: WorldFiles, seed: int, number: int, exact: bool = False, only: str = ""
) -> PracticeUnit:
    """Draw one unit; `only` names its fault.

    `exact` leaves out people's mistakes, and the run at home that the owner complains of.
    """
    random = Random(f"{seed} {number}")
    for _ in range(1 if only or exact else COMES_WITHIN):
        unit = _drawn(files, random, exact, only)
        if unit.complaint != CHECK_OVER or unit.fault == SOUND_UNIT:
            break
    unit.number = number
    return unit


def _drawn(files: WorldFiles, random: Random, exact: bool, only: str) -> PracticeUnit:
    named = only and only != SOUND_UNIT
    entry = files.faults[only] if named else _fault(files, random, only)
    if exact:
        return unit_with(files, random, entry, mistakes=NO_MISTAKES, complains=False)
    return unit_with(files, random, entry)


def unit_with(
    files: WorldFiles,
    random: Random,
    entry: FaultEntry | None,
    *,
    mistakes: Mistakes = SLIPS,
    complains: bool = True,
) -> PracticeUnit:
    """Draw a unit with a fault, or a sound one; raises `WorkshopError` for one that cannot be.

    Where nobody `complains` it did not run at home before.
    """
    while True:
        kind = random.choices(list(SHARES), list(SHARES.values()))[0]
        if entry is None or not entry.classes or kind in entry.classes:
            break
    tried = partial(_tried, files, random, kind, entry, mistakes=mistakes, complains=complains)
    for _ in range(COMPLAINS_WITHIN if complains else 1):
        unit = tried()
        if unit is not None and (unit.complaint != CHECK_OVER or not entry or not complains):
            return unit
    for _ in range(IS_MADE_WITHIN):
        unit = unit or tried()
    if unit is None:
        raise WorkshopError(f"no unit of `{kind}` can have `{entry.id if entry else SOUND_UNIT}`")
    return unit


def _fault(files: WorldFiles, random: Random, only: str) -> FaultEntry | None:
    entries = list(files.faults.values())
    if only == SOUND_UNIT or random.random() < SOUND_SHARE:
        return None
    return random.choices(entries, [entry.a_year for entry in entries])[0]


def _tried(
    files: WorldFiles,
    random: Random,
    kind: str,
    entry: FaultEntry | None,
    *,
    mistakes: Mistakes,
    complains: bool,
) -> PracticeUnit | None:
    """Draw a unit of a class with a fault; None where its parts cannot be."""
    weather_c = random.uniform(COLDEST_C, WARMEST_C)
    sound = left_overnight(heater_of(files.classes[kind], random), weather_c)
    faults = entry.draw(random) if entry else ()
    try:
        world = World(sound, random, faults, files.classes[kind])
    except WorkshopError:
        return None
    visit = Visit(world, files.units[kind], files.findings, random, mistakes)
    if draws_air(world.heater):
        world.state = replace(world.state, line_ml=0.0)  # it has run until it sucked air
    seen = visit.start(after_it_lit_s=600.0) if complains else visit.look()
    complaint, answers = complaint_of(seen, random) if complains else (CHECK_OVER, frozenset[str]())
    visit.lit_before = lit_at_the_end(seen) > 0.5
    visit.lit_panel = panel_lit(seen) > 0.5
    visit.starts = 0
    world.left_to_cool(8.0)
    return PracticeUnit(
        files, 0, kind, weather_c, entry.id if entry else SOUND_UNIT, faults,
        entry.truths if entry else (), dict(entry.told) if entry else {}, complaint, answers,
        sound, visit, frozenset(dangers_of(seen)),
    )  # fmt: skip


def complaint_of(seen: Seen, random: Random) -> tuple[str, frozenset[str]]:
    """Give what the owner says is wrong, from what the heater does at home.

    With it comes what answers that where no fault is behind it, as steam that is taken for smoke.
    """
    for complaint, holds in _grounds(seen):
        if holds and random.random() < 0.85:
            return complaint, frozenset()
    if seen.heater.weather.temperature_c < -2.0 and random.random() < 0.2:
        complaint, answer = STEAM
        return complaint, frozenset({answer})
    return CHECK_OVER, frozenset()


def _grounds(seen: Seen) -> Sequence[tuple[str, bool]]:
    """Give complaints in the order in which an owner thinks of them, each with its ground."""
    phases, lit = seen.trace.phases, seen.count("the flame lights") > 0
    at_end, code = lit_at_the_end(seen) > 0.5, flashes(seen)
    heat = seen.trace.highest("heat") or 0.0
    rated = 2000.0 if seen.new.pump.dose_ml_per_100 < 3.0 else 4400.0
    heater = seen.heater
    drain = heater.control_unit.standby_a > 0.1 or heater.other_loads.drain_a > 0.2
    warm = seen.trace.during("full", "low").last("outlet temperature") or 0.0
    return (
        ("smell", lit and into_cabin(heater) > 0.05),
        ("flattens the battery", drain),
        ("too hot", code == 10.0),
        ("fan only", phases[-1:] == ("fan run-up",)),
        ("lights then dies", lit and not at_end),
        ("white smoke", not at_end and seen.seconds(lambda m: m.smoke == "white") > 90.0
            and random_half(seen)),
        ("shows a fault", not at_end and code > 0.0 and random_half(seen)),
        ("will not start", not at_end),
        ("dark smoke", at_end and (seen.trace.during("full", "low").last("smoke spot") or 0) > 4.0),
        ("many attempts", at_end and phases.count("glow") > 1),
        ("noise", at_end and heater.motor.bearing_drag_nm > 0.007),
        ("cycles", at_end and phases.count("low") > 1),
        ("weak heat", at_end and (heat < 0.8 * rated or heater.duct.leak > 0.3)),
        ("too hot", at_end and warm > 135.0),
    )  # fmt: skip


def random_half(seen: Seen) -> bool:
    """Toss a coin that hangs on the unit alone."""
    return int(seen.heater.battery.capacity_ah * 1000.0) % 2 == 0


def dangers_of(seen: Seen) -> Sequence[str]:
    """Give what is truly dangerous about a unit, by the rules' ids."""
    heater = seen.heater
    grounds = {
        "carbon monoxide": (seen.trace.highest("cabin carbon monoxide") or 0.0) > 9.0,
        "cracked exchanger": heater.exchanger.crack > 0.1,
        "hot wiring": worst_joint_w(seen) > 25.0,
        "petrol in the fuel": heater.fuel.petrol > 0.08,
        "overheated control": heater.control_unit.overheated > 0.5,
    }
    return [name for name, holds in grounds.items() if holds]
