"""A visit: acts on one unit, one meter out of the drawer, and what each fault lets be seen."""

from __future__ import annotations

from random import Random

import pytest

from diag.workshop import Fault, World, heater_of
from diag.workshop.data.repairs import mend
from diag.workshop.visit import Visit
from tests.workshop.shipped import classes, new_units, shipped_findings, shipped_repairs

KIND = "small 12 V"


def _visit(*faults: Fault) -> Visit:
    world = World(heater_of(classes()[KIND]), Random(1), faults, classes()[KIND])
    return Visit(world, new_units()[KIND], shipped_findings(), Random(2))


SEEN = [
    (Fault("fuse", "blown", "becomes", 1.0), "panel", "dark"),
    (Fault("pump", "stuck", "becomes", 1.0), "pump clicks", "silent"),
    (Fault("pump", "stuck", "becomes", 1.0), "lamp at the pump connector", "blinks"),
    (Fault("pump connector", "resistance", "becomes", 1e7), "pump clicks", "silent"),
    (Fault("glow plug", "cold resistance", "becomes", 1e7), "meaning of the code",
     "ignition circuit"),
    (Fault("glow plug", "cold resistance", "times", 2.0), "glow plug glows", "dull"),
    (Fault("motor", "seized", "becomes", 1.0), "fan at start", "still"),
    (Fault("negative joint", "resistance", "becomes", 0.3), "warm joint", "yes"),
    (Fault("battery", "health", "becomes", 0.05), "charger helps", "yes"),
    (Fault("screen", "clogging", "becomes", 0.99), "lights up", "no"),
    (Fault("screen", "clogging", "becomes", 0.99), "smoke at first", "white"),
    (Fault("exhaust", "blockage", "becomes", 0.8), "exhaust after warm-up", "dark"),
    (Fault("panel", "dead", "becomes", 1.0), "another panel", "works"),
    (Fault("screen", "clogging", "becomes", 0.99), "three starts", "again"),
]  # fmt: skip


ALSO_SOUND = ("charger helps", "lamp at the pump connector")
"""What a sound unit shows as well where one of these faults shows it."""


@pytest.mark.parametrize(("fault", "finding", "state"), SEEN)
def test_what_a_fault_lets_be_seen(fault: Fault, finding: str, state: str) -> None:
    """Each fault shows where somebody who knows heaters looks for it; a sound unit does not."""
    faulty, sound = _visit(fault), _visit()
    for visit in (faulty, sound):
        visit.tell("lights up")
    assert state == faulty.truth(finding)
    assert (state == sound.truth(finding)) is (finding in ALSO_SOUND)


def test_a_check_is_of_one_run() -> None:
    """All that a check asks is read of the same start, and another check makes another."""
    visit = _visit()
    visit.begin(["lights up", "pump clicks"])
    for name in ("lights up", "pump clicks", "fan at start"):
        visit.tell(name)
    assert 1 == visit.starts
    visit.begin(["lights up"])
    visit.tell("lights up")
    assert 2 == visit.starts


def test_full_low_and_off_are_one_run() -> None:
    """A check that wants it run at full, turned down and switched off starts it once."""
    wanted = {"a full run", "a low run", "a switch-off"}
    visit = _visit()
    findings = {name: told.during for name, told in visit.findings.items()}
    visit.begin([name for name, act in findings.items() if act in wanted])
    phases = {act: visit.seen(act).trace.phases for act in sorted(wanted, reverse=True)}
    assert 1 == visit.starts
    assert ("full", "low") == (phases["a full run"][-1], phases["a low run"][-1])
    assert ("shut-down glow", "cool-down") == phases["a switch-off"][1:3]


@pytest.mark.parametrize(
    ("fault", "cause"),
    [
        (Fault("screen", "clogging", "becomes", 0.99), "glow plug screen coked"),
        (Fault("negative joint", "resistance", "becomes", 0.4), "bad earth"),
        (Fault("fuse", "blown", "becomes", 1.0), "blown fuse"),
    ],
)
def test_a_repair_mends_what_it_is_for(fault: Fault, cause: str) -> None:
    """A unit that did not light does so within three starts of the right repair."""
    visit = _visit(fault)
    assert "yes" != visit.truth("lights up")
    mend(visit.world, shipped_repairs()[cause])
    lit = []
    for _ in range(3):
        visit.begin(["lights up"])
        lit.append(visit.truth("lights up"))
    assert "yes" in lit
