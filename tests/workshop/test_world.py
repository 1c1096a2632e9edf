"""Acts in the workshop have their consequences."""

from __future__ import annotations

from random import Random

import pytest

from diag.workshop import ComesAndGoes, Fault, WorkshopError, World, heater_of
from diag.workshop.heater import read
from tests.workshop.shipped import classes, small

OPEN_PLUG = Fault("glow plug", "cold resistance", "becomes", 1e7)
NO_FUEL = Fault("pump", "stuck", "becomes", 1.0)
CLOGGED_SCREEN = Fault("screen", "clogging", "becomes", 1.0)


def _world(*faults: Fault) -> World:
    return World(small(), Random(1), faults, classes()["small 12 V"])


def _whats(world: World) -> list[str]:
    return [event.what for event in world.events]


def test_three_starts_without_a_flame_lock_the_unit() -> None:
    """After the third start without a flame the unit locks itself, and no switch starts it."""
    world = _world(NO_FUEL)
    for _ in range(3):
        world.start()
        world.run_to("fault")
        world.switch_off()
    assert "it locks itself" in _whats(world)
    world.start()
    assert ("fault",) == world.run(30.0).phases
    world.unlock()
    world.start()
    assert "glow" in world.run(30.0).phases


def test_a_fault_is_left_only_by_switching_on_anew() -> None:
    """A unit in fault stays so while its switch is left on."""
    world = _world(OPEN_PLUG)
    world.start()
    world.run_to("fault")
    assert ("fault",) == world.run(60.0).phases
    world.start()
    assert "fan run-up" in world.run(10.0).phases


def test_a_flame_clears_the_count_of_failed_starts() -> None:
    """A start that burns takes the count of failed ones back to none."""
    world = _world(NO_FUEL)
    world.start()
    world.run_to("fault")
    assert 1.0 == world.heater.control_unit.failed_starts
    world.swap("pump")
    world.start()
    world.run_to("full")
    assert 0.0 == world.heater.control_unit.failed_starts


def test_a_new_part_takes_the_fault_with_the_old_one() -> None:
    """Swapping the faulty part makes a unit burn; swapping a sound one does not."""
    in_vain, right = _world(OPEN_PLUG), _world(OPEN_PLUG)
    in_vain.swap("pump")
    right.swap("glow plug")
    for world in (in_vain, right):
        world.start()
        world.run(400.0)
    assert ("fault", "full") == (in_vain.phase, right.phase)


def test_power_cut_while_hot_cooks_the_control_unit() -> None:
    """Cut off at full power the body soaks the control unit with heat; switched off it does not."""
    cut, switched = _world(), _world()
    for world in (cut, switched):
        world.start()
        world.run(500.0)
    cut.cut_power()
    switched.switch_off()
    for world in (cut, switched):
        world.run(420.0)
    assert (1.0, 0.0) == tuple(w.heater.control_unit.overheated for w in (cut, switched))
    cut.restore_power()
    cut.start()
    assert ("off",) == cut.run(20.0).phases


def test_a_wrong_jumper_blows_the_fuse() -> None:
    """A jumper across the unit's pins is a short that its fuse ends; nothing starts after it."""
    world = _world()
    world.jump("unit positive", "unit negative")
    world.run(3.0)
    assert ["the fuse blows"] == _whats(world)
    world.jump(None)
    world.start()
    assert ("off",) == world.run(10.0).phases
    world.swap("fuse")
    world.start()
    assert "glow" in world.run(10.0).phases


def test_a_jumper_round_a_bad_lead_lets_the_unit_start() -> None:
    """Where the positive cable is bad, a jumper from the terminal to the unit brings it up."""
    world = _world(Fault("positive cable", "broken strands", "becomes", 0.97))
    world.jump("positive terminal", "unit positive")
    world.start()
    world.run(300.0)
    assert world.phase == "full"


def test_tries_without_ignition_pool_fuel_and_end_in_a_bang() -> None:
    """Fuel of tries that do not light stays in the burner, and lights with a bang when it does."""
    world = _world(CLOGGED_SCREEN)
    pooled = []
    for _ in range(4):
        world.start()
        world.run_to("fault")
        pooled.append(world.heater.burner.pooled_ml)
        world.switch_off()
        world.unlock()
    assert pooled == sorted(pooled)
    assert pooled[0] > 0.3
    world.set("burner", "pooled", 9.0)
    world.swap("screen")
    world.start()
    trace = world.run(120.0)
    assert "it lights with a bang" in _whats(world)
    assert "dark" in {moment.smoke for moment in trace}


@pytest.mark.parametrize(("part", "quantity"), [("exchanger", "crack"), ("exhaust", "leak")])
def test_a_danger_left_alone_grows(part: str, quantity: str) -> None:
    """A crack and a leak in the hot gas grow while the unit burns, and never while it rests."""
    world = _world(Fault(part, quantity, "becomes", 0.2))
    world.rest(10.0)
    assert 0.2 == read(world.heater, part, quantity)
    world.start()
    world.run(500.0)
    assert 0.2 < read(world.heater, part, quantity) < 0.25


def test_a_hot_joint_grows_worse() -> None:
    """A joint that sheds watts gains resistance with every start; a good one does not."""
    bad, good = _world(Fault("negative joint", "resistance", "becomes", 0.1)), _world()
    for world in (bad, good):
        world.start()
        world.run(150.0)
    assert bad.heater.negative_joint.resistance_ohm > 0.1002
    assert small().negative_joint == good.heater.negative_joint


def test_a_night_drains_the_battery_by_what_draws() -> None:
    """Twelve hours at standby and drain take their ampere-hours; a drain takes more."""
    sound, drained = _world(), _world(Fault("control unit", "standby", "becomes", 1.0))
    for world in (sound, drained):
        world.rest(12.0)
    lost = [0.9 - world.heater.battery.charge for world in (sound, drained)]
    usable_ah = 90.0 * 0.9 * 0.94
    assert 0.03 * 12.0 / usable_ah == pytest.approx(lost[0], rel=0.01)
    assert 1.01 * 12.0 / usable_ah == pytest.approx(lost[1], rel=0.01)


def test_a_running_unit_is_not_left_for_the_night() -> None:
    """A unit that burns cannot rest: it says so."""
    world = _world()
    world.start()
    world.run(120.0)
    with pytest.raises(WorkshopError, match=r"^the unit is in `\w+`: switch it off"):
        world.rest(1.0)


def test_what_comes_and_goes_comes_by_its_chance_and_is_shaken_out() -> None:
    """A loose plug connector is open at its share of starts, and always when it is shaken."""
    loose = Fault("plug connector", "resistance", "becomes", 1e7, ComesAndGoes(0.3, ("shake",)))
    world = World(small(), Random(3), [loose])
    shown = 0
    for _ in range(400):
        world.look_again()
        shown += world.heater.plug_connector.resistance_ohm > 1.0
    assert 0.3 == pytest.approx(shown / 400.0, abs=0.07)
    world.disturb("wet")
    before = world.heater.plug_connector.resistance_ohm
    world.disturb("shake", "pump connector")
    assert before == world.heater.plug_connector.resistance_ohm
    world.disturb("shake", "plug connector")
    assert before <= 1e7 == world.heater.plug_connector.resistance_ohm


def test_what_shows_when_warm_shows_once_the_unit_is() -> None:
    """A fault that heat brings out leaves the start alone and stops the run."""
    opens = Fault("overheat sensor", "wire", "becomes", 1e7, ComesAndGoes(0.0, ("warm",)))
    world = _world(opens)
    world.start()
    world.run(400.0)
    assert 8 == world.mind.code
    assert "ramp" in world.trace.phases


def test_one_seed_makes_one_run() -> None:
    """With the same unit, faults and random source a run is the same to the last digit."""
    runs = []
    for _ in range(2):
        world = World(heater_of(classes()["small 12 V"], Random(5)), Random(5), [NO_FUEL])
        world.start()
        world.run(100.0)
        runs.append((world.moments, world.heater))
    assert runs[0] == runs[1]


def test_a_run_in_parts_is_the_run_in_one() -> None:
    """To run for a time twice is to run for both."""
    parts, whole = _world(), _world()
    for world in (parts, whole):
        world.start()
    parts.run(70.0)
    parts.run(80.0)
    whole.run(150.0)
    assert whole.moments == parts.moments


@pytest.mark.parametrize(
    ("act", "said"),
    [
        (lambda w: w.swap("carburettor"), "there is no part `carburettor`: expected one of"),
        (lambda w: w.jump("clamps", "unit positive"), "`clamps` is no place for a jumper"),
        (lambda w: w.disturb("sing"), "`sing` brings nothing out: expected one of shake"),
        (lambda w: w.run(-1.0), "`seconds` is -1 s: expected 0 s or more"),
        (lambda w: w.set("outlets", "open", 3.0), "`outlets open` is 3: expected 0 to 1"),
        (lambda w: w.trace.during("tea"), "there is no phase `tea`: expected one of off"),
        (lambda w: w.trace.values("smell"), "nothing is read as `smell`: expected a channel"),
        (lambda w: w.trace.values("volts: here to there"), "`here` is no place for a meter"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_refused_in_a_sentence(act: object, said: str) -> None:
    """An act on what there is not says what, and what there is."""
    assert callable(act)
    with pytest.raises(WorkshopError) as refused:
        act(_world())
    assert str(refused.value).startswith(said)


def test_a_phase_never_reached_has_no_readings() -> None:
    """Readings of a phase that a unit never reached are none, not nought."""
    world = _world(OPEN_PLUG)
    world.start()
    world.run(100.0)
    full = world.trace.during("full")
    assert [None] * 4 == [
        full.lowest("amps"), full.highest("amps"), full.typical("amps"), full.last("amps")
    ]  # fmt: skip
