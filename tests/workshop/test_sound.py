"""Sound units, as they are drawn, start in any weather and run as units of their class do."""

from __future__ import annotations

from random import Random

import pytest

from diag.workshop import World, heater_of, left_overnight
from diag.workshop.draw import ClassNumbers
from diag.workshop.run.trace import Trace
from tests.workshop.runs import sound_run
from tests.workshop.shipped import classes


def _full_run(numbers: ClassNumbers, seed: int) -> World:
    random = Random(seed)
    heater = left_overnight(heater_of(numbers, random), random.uniform(-20.0, 35.0))
    world = World(heater, random, numbers=numbers)
    world.set("panel", "set to", 60.0)
    world.start()
    world.run(420.0)
    return world


@pytest.mark.parametrize("seed", range(12))
def test_every_sound_unit_reaches_full_power(seed: int) -> None:
    """From -20 to 35 C a sound unit with a good battery lights once and burns flat out, clean."""
    name = list(classes())[seed % 4]
    world = _full_run(classes()[name], seed)
    at_end = world.moments[-1]
    rated_w = 2000.0 if name.startswith("small") else 4300.0
    assert ("full", 0) == (world.phase, world.mind.code)
    assert ["the flame lights"] == [event.what for event in world.events]
    assert 0.75 * rated_w < at_end.heat_w < 1.15 * rated_w
    assert at_end.smoke_spot < 1.5
    assert 1.25 < at_end.air_ratio < 2.1


def test_no_two_drawn_units_are_alike() -> None:
    """Units scatter about their class, each by its own seed, and one seed draws one unit."""
    drawn = [heater_of(classes()["small 12 V"], Random(seed)) for seed in (1, 2, 1)]
    assert drawn[0] == drawn[2]
    assert drawn[0] != drawn[1]
    plugs = [
        heater_of(classes()["small 12 V"], Random(seed)).glow_plug.cold_resistance_ohm
        for seed in range(200)
    ]
    assert 0.48 <= min(plugs) < 0.485
    assert 0.515 < max(plugs) <= 0.52


# Usual values of a heater of about 2 kW on 12 V: common practice, no source.
USUAL = {
    "standby amps": ("off", "typical", "amps", 0.01, 0.03),
    "run-up peak": ("fan run-up", "highest", "amps", 4.5, 6.0),
    "amps while it glows": ("glow", "typical", "amps", 8.0, 10.5),
    "plug temperature": ("glow", "highest", "plug temperature", 900.0, 1100.0),
    "first pump rate": ("fuel", "typical", "pump rate", 1.0, 1.6),
    "amps flat out": ("full", "typical", "amps", 1.8, 2.6),
    "pump rate flat out": ("full", "typical", "pump rate", 2.0, 3.5),
    "outlet": ("full", "highest", "outlet temperature", 80.0, 110.0),
    "exhaust": ("full", "highest", "exhaust temperature", 250.0, 400.0),
    "outlet air speed": ("full", "typical", "outlet air speed", 9.0, 13.0),
    "heat": ("full", "highest", "heat", 1800.0, 2100.0),
    "carbon dioxide": ("full", "typical", "carbon dioxide", 8.5, 12.0),
    "smoke spot": ("full", "typical", "smoke spot", 0.0, 1.0),
    "amps in shut-down": ("shut-down glow", "typical", "amps", 8.0, 11.0),
    "amps in cool-down": ("cool-down", "typical", "amps", 0.5, 1.2),
}


@pytest.mark.parametrize("name", USUAL)
def test_a_sound_unit_reads_as_its_class_does(name: str) -> None:
    """Each reading of a sound run lies where people who know such heaters expect it."""
    phase, how, channel, least, most = USUAL[name]
    value = getattr(sound_run().trace.during(phase), how)(channel)
    assert least <= value <= most


def test_a_sound_run_goes_through_its_phases_in_order() -> None:
    """Started and switched off, a sound unit goes through every phase once and ends off."""
    expected = (
        "off", "fan run-up", "glow", "fuel", "flame", "ramp", "full", "shut-down glow",
        "cool-down", "off",
    )  # fmt: skip
    assert expected == sound_run().trace.phases


def _seconds(trace: Trace) -> float:
    return trace.moments[-1].at_s - trace.moments[0].at_s


def test_phases_last_as_long_as_they_do() -> None:
    """It glows for a minute, lights within a minute of fuel, and cools down in two to four."""
    trace = sound_run().trace
    assert 60.0 == pytest.approx(_seconds(trace.during("glow")), abs=1.0)
    assert 8.0 < _seconds(trace.during("fuel")) < 60.0
    assert 120.0 <= _seconds(trace.during("cool-down")) + 0.5 <= 240.0


def test_a_start_costs_charge_and_fuel() -> None:
    """Until it burns flat out a start takes 0.2 to 0.4 Ah and a few ml of fuel."""
    trace = sound_run().trace
    start = trace.during("fan run-up", "glow", "fuel", "flame", "ramp")
    hours = 0.2 / 3600.0
    assert 0.2 < sum(start.values("battery amps")) * hours < 0.4
    assert 3.0 < sum(start.values("fuel flow")) * 0.2 < 12.0
