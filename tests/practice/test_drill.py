"""A drill follows from its seed and its deeds alone, and what it reads obeys physics."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.drill.run import begun
from diag.cli.drill.setting import stored_drill
from diag.model.quantity import Quantity
from diag.practice.drill import levels
from diag.practice.drill.deeds import Deed, as_payload, deed_from
from diag.practice.drill.drill import Drill
from diag.practice.drill.levels import LEVELS, choose_fault, drill_unit, level_of, new_drill_unit
from diag.practice.drill.trade_words import READY
from diag.practice.units import PracticeUnit, unit_with
from diag.store import Store
from diag.store.drills import Drills
from diag.workshop.meters import SPECIFICATIONS
from tests.bench.judged.slips import broken_laws
from tests.practice.settings import drill, ear, shipped, typed

FAULTS = ("bad earth", "clogged filter", "leaking delivery hose", "open glow plug", "nothing wrong")
COPPER_OHM_MM2_PER_M = 0.017241
"""Standard annealed copper at 20 C: IEC 60028."""


def everything() -> list[Deed]:
    """Return every deed that can be typed, but for calls."""
    book = shipped().book
    deeds = [Deed("read", (name,)) for name in (*book.findings, *book.checks)]
    deeds += [Deed("ready", (key,)) for key in READY] + [Deed("hint")] * 5
    deeds += [Deed("swap", (part,)) for part in ear().parts] + [Deed("shake")]
    return deeds + [Deed("repair", (name,)) for name in book.causes]


DEEDS = st.lists(st.sampled_from(everything()), max_size=4)


@settings(max_examples=6, deadline=None)
@given(fault=st.sampled_from(FAULTS), level=st.integers(1, 4), deeds=DEEDS)
def test_a_drill_done_again_comes_out_the_same(fault: str, level: int, deeds: list[Deed]) -> None:
    """Any deeds, in any order, bring what they brought before, and none is a fault of ours."""
    first, second = drill(fault, level), drill(fault, level)
    for deed in deeds:
        stored = deed_from(deed.kind, as_payload(deed))
        assert stored is not None
        assert first.do(deed) == second.do(stored)
    assert first.status() == second.status()
    assert first.state.journal == second.state.journal


@pytest.mark.parametrize("at", range(4))
def test_any_deed_can_be_done(at: int) -> None:
    """Each deed that can be typed does something, or says in a sentence why not."""
    of = drill(FAULTS[at], level=3)
    deeds = everything()
    Random(at).shuffle(deeds)
    for deed in deeds[:40]:
        outcome = of.do(deed)
        assert outcome.heard
        assert outcome.said or outcome.stopped is not None or outcome.dangers


def test_what_acts_need_comes_first() -> None:
    """An act without what it needs is answered with that; it counts where it is a risk."""
    of = drill("bad earth")
    typed(of, "look round for danger")
    needs, done, works = typed(of, "turn the fan", "power off", "turn the fan")
    assert ("need", "power off") == (needs.stopped.kind, needs.stopped.name)  # type: ignore[union-attr]
    assert "For that it has to be without power. First `power off`: 1 min." == (
        needs.stopped.say  # type: ignore[union-attr]
    )
    assert ["Done, in 1 min of work."] == done.said
    assert ("need", "cover off") == (works.stopped.kind, works.stopped.name)  # type: ignore[union-attr]
    assert () == of.stops
    other = drill("bad earth")
    (risky,) = typed(other, "repair bad earth")
    assert ("caution", "battery short circuit") == (
        risky.stopped.kind, risky.stopped.name,  # type: ignore[union-attr]
    )  # fmt: skip
    assert 1 == len(other.stops)
    assert [] == other.repaired


def test_a_danger_that_was_there_to_be_seen_bites() -> None:
    """A start beside dripping fuel is stopped and counts; once repaired and looked at it may go on.

    That it may not be run while fuel drips: common practice.
    """
    of = drill("leaking delivery hose")
    (start,) = typed(of, "start")
    assert ("danger", "fuel leak") == (start.stopped.kind, start.stopped.name)  # type: ignore[union-attr]
    assert ("fuel leak",) == start.dangers
    assert 0 == of.unit.visit.starts
    assert "fuel leak" in of.state.dangers.held
    typed(of, "power off", "repair fuel line leaking", "look for the leak again", "start")
    assert 1 == of.unit.visit.starts
    assert 1 == len(of.stops)


def test_good_parts_are_counted() -> None:
    """A sound part that was changed counts, a faulty one does not."""
    of = drill("open glow plug")
    ready = ("look round for danger", "power off", "on the bench", "let it cool")
    typed(of, *ready, "swap filter", "swap glow plug")
    assert (["filter", "glow plug"], ["filter"]) == (of.bought, of.in_vain)
    assert of.unit.mended


def test_a_cause_that_the_world_knows_not_is_repaired_in_vain() -> None:
    """A workshop's own cause, of which the world's files say nothing, changes nothing in it."""
    of = drill("bad earth")
    of.unit.files = replace(of.unit.files, repairs={})
    typed(of, "look round for danger", "power off", "repair bad earth")
    assert ["bad earth"] == of.repaired
    assert not of.unit.mended


def test_what_is_not_in_the_rules_any_more_is_named() -> None:
    """A stored deed of names that these rules have not is told by those names."""
    of = drill("bad earth")
    assert ("gone",) == of.unknown(Deed("read", ("volts at rest", "gone")))
    assert () == of.unknown(Deed("call", ("bad earth",)))
    assert None is deed_from("dance", {"names": []})
    for kind, names in (("read", "volts"), ("read", []), ("swap", []), ("repair", ["a", "b"])):
        assert None is deed_from(kind, {"names": names})
    of.unit.files = replace(of.unit.files, repairs={})
    assert ("filter",) == of.unknown(Deed("swap", ("filter",)))


def _numbers(of: Drill) -> dict[str, float]:
    read = of.state.readings
    return {n: r.value.si for n, r in read.items() if isinstance(r.value, Quantity)}


@pytest.mark.parametrize(
    "fault", ["nothing wrong", "aged glow plug", "thin cable", "clogged filter"]
)
def test_readings_of_one_run_obey_ohm_kirchhoff_and_energy(fault: str) -> None:
    """What a learner reads breaks no law of physics beyond the meters' errors.

    Ohm's law on the supply cable is held tight, with standard copper (IEC 60028, 20 C, which the
    world's cables are within 15 % of): the drop along it is at least what its copper alone takes.
    """
    of = drill(fault)
    typed(
        of, "look round for danger", "do load test at the battery, drop along the cables",
        "measure volts at the heater while igniting and volts at the glow plug",
        "measure the cable", "take the heat balance", "measure the fuel", "measure the duct",
    )  # fmt: skip
    found = {name: reading.value for name, reading in of.state.readings.items()}
    assert set() == broken_laws(found)
    n = _numbers(of)
    copper_ohm = COPPER_OHM_MM2_PER_M * n["cable run"] / (n["cable area"] * 1e6)
    clamp, volts = SPECIFICATIONS["clamp amps"], SPECIFICATIONS["volts"]
    amps = n["amps while igniting"] - clamp.limit(n["amps while igniting"])
    drop = n["drop along the positive cable"]
    assert drop + volts.limit(drop) >= 0.85 * amps * copper_ohm


@pytest.mark.parametrize("level", LEVELS)
def test_a_unit_follows_from_level_fault_seed_and_number(level: int) -> None:
    """The same level, seed and number draw the same fault and unit, whatever was drawn before."""
    of, drawn = shipped(), (41, level)
    units = []
    for _ in range(2):
        unit = new_drill_unit(of.files, of.book, LEVELS[level], drawn=drawn)
        again = drill_unit(of.files, of.book, LEVELS[level], unit.fault, drawn=drawn)
        for each in (unit, again):
            heater = each.visit.world.heater
            units.append((each.fault, each.kind, each.complaint, heater))
    assert [units[0]] * 4 == units


def test_levels_draw_what_they_say() -> None:
    """One fault up to level 3, two or none at level 4, and nothing that comes and goes at 1."""
    of = shipped()
    for number, level in LEVELS.items():
        if number == 1:
            continue
        names = [choose_fault(of.files, of.book, level, Random(n)) for n in range(40)]
        wrong = {2 if " + " in name else name != "nothing wrong" for name in names}
        assert ({0, 2} if number == 4 else {1}) == wrong
    with pytest.raises(ValueError, match="there is no level `9`: take one of 1, one common fault"):
        level_of("9")


def test_a_unit_is_drawn_once_for_a_drill(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A drill draws one unit as it begins, and one as it goes on: that is what takes long."""
    drawn: list[str] = []

    def counted(*args: Any, **named: Any) -> PracticeUnit:
        drawn.append("a unit")
        return unit_with(*args, **named)

    monkeypatch.setattr(levels, "unit_with", counted)
    with closing(Store(tmp_path / "sessions.db", now=lambda: "t1")) as store:
        row, begun_with = begun(shipped(), Drills(store), LEVELS[2], 7)
        assert ["a unit"] == drawn
        assert begun_with.arrival == stored_drill(shipped(), row).arrival
        assert ["a unit"] * 2 == drawn
