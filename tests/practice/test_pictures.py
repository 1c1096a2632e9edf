"""Pictures hold what the trace holds: by Ohm's law, by energy, and in any width."""

from __future__ import annotations

from functools import cache
from random import Random
from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.practice.pictures.bars import BarRow, bars
from diag.practice.pictures.current import (
    HEIGHT,
    LABEL,
    columns_of,
    current_rows,
    current_words,
    stages_of,
)
from diag.practice.pictures.heat import heat_rows, heat_share, heat_words
from diag.practice.pictures.supply import SupplyPath, supply_path, supply_rows, supply_words
from diag.workshop import Fault, Heater, Trace, WorkshopError, World
from diag.workshop.standing import standing
from tests.workshop.shipped import new_units, small

widths = st.integers(39, 199)
RESISTANCES = ("positive cable resistance", "negative cable resistance")
FAULTS = {
    "sound": (),
    "bad earth": (Fault("negative joint", "resistance", "becomes", 0.1),),
    "bad holder": (Fault("fuse", "holder", "becomes", 0.08),),
    "worn battery": (Fault("battery", "health", "becomes", 0.15),),
    "thin cable": (Fault("positive cable", "area", "becomes", 1.0),),
}


@cache
def started(fault: str, kind: str = "small 12 V", seconds: float = 300.0) -> tuple[World, Heater]:
    """Start a unit from rest and run it on for a time; give it with its parts as they came in."""
    world = World(new_units()[kind], Random(1), FAULTS[fault])
    came_in = world.heater
    world.run(3.0)
    world.start()
    world.run_to("ramp", "fault cool-down", within_s=800.0)
    world.run(seconds)
    return world, came_in


@cache
def path_of(fault: str, kind: str = "small 12 V") -> SupplyPath:
    world, came_in = started(fault, kind)
    rest_v = standing(came_in, "battery volts at rest")
    return supply_path(world.trace, rest_v, came_in.control_unit.low_volts_v)


@pytest.mark.parametrize("kind", ["small 12 V", "medium 24 V"])
@pytest.mark.parametrize("fault", FAULTS)
def test_the_losses_add_up(fault: str, kind: str) -> None:
    """By Kirchhoff's voltage law the battery at rest less all losses is what the heater gets."""
    path = path_of(fault, kind)
    lost = path.in_the_battery_v + sum(volts for _, volts in path.losses)
    assert pytest.approx(path.heater_v, abs=1e-9) == path.rest_v - lost


@pytest.mark.parametrize("fault", FAULTS)
def test_each_loss_is_amps_times_ohms(fault: str) -> None:
    """By Ohm's law each loss is the current times what an ohmmeter shows of that place."""
    path, (_, came_in) = path_of(fault), started(fault)
    there, back = (standing(came_in, name) for name in RESISTANCES)
    expected = {
        "positive joint": came_in.positive_joint.resistance_ohm,
        "fuse, isolator": came_in.fuse.holder_ohm + came_in.isolator.contact_ohm,
        "cable there": there,
        "positive pin": came_in.supply_connector.positive_pin_ohm,
        "negative pin": came_in.supply_connector.negative_pin_ohm,
        "cable back": back,
        "earth joint": came_in.negative_joint.resistance_ohm,
    }
    ohms = {name: volts / path.amps for name, volts in path.losses}
    assert pytest.approx(expected, rel=0.02) == ohms  # a joint of 10 W grows by 1 % in a minute


def test_the_path_is_of_the_worst_moment() -> None:
    """The picture shows the least volts that the heater had once the glow plug was on for 15 s."""
    world, _ = started("bad earth")
    glow = world.trace.during("glow")
    late = [m.unit_v for m in glow if m.at_s >= glow.moments[0].at_s + 15.0]
    assert min(late) == path_of("bad earth").heater_v


def told_volts(rows: tuple[str, ...]) -> dict[str, float]:
    """Read the volts back out of a drawing, by the label before them."""
    found = {}
    for row in rows:
        words = row.rstrip("# ").split()
        found[" ".join(words[:-2])] = float(words[-2])
    return found


@settings(deadline=None)
@given(st.sampled_from(sorted(FAULTS)), widths)
def test_what_is_drawn_adds_up_as_it_is_told(fault: str, width: int) -> None:
    """The hundredths of a volt that are shown add up to the hundredth, whatever was rounded."""
    path = path_of(fault)
    told = told_volts(supply_rows(path, width))
    lost = sum(volts for name, volts in told.items() if name.startswith("-"))
    assert round(told["at rest"] - lost, 2) == told["= heater gets"]
    for name, volts in path.losses:
        assert told[f"- {name}"] == pytest.approx(volts, abs=0.011)


@settings(deadline=None)
@given(st.sampled_from(sorted(FAULTS)), widths)
def test_the_longest_bar_is_the_greatest_loss(fault: str, width: int) -> None:
    """The longest bar stands at the place that the sentence names."""
    path = path_of(fault)
    lengths = {row.split("  ")[0]: row.count("#") for row in supply_rows(path, width)}
    longest = max(lengths, key=lambda name: lengths[name])
    losses = {"in the battery": path.in_the_battery_v, **dict(path.losses)}
    greatest = max(losses, key=lambda name: losses[name])
    assert lengths[longest] == lengths[f"- {greatest}"]
    place = supply_words(path).rpartition("Most is lost in one place: ")[2]
    assert f"{greatest}, {losses[greatest]:.2f} V." == place


@settings(deadline=None)
@given(st.sampled_from(sorted(FAULTS)), widths)
def test_a_drawing_fits(fault: str, width: int) -> None:
    """No row is wider than was asked for, and each holds letters that any terminal has."""
    world, came_in = started(fault)
    rows = [*supply_rows(path_of(fault), width), *current_rows(world.trace, width)]
    if fault == "sound":
        rows += heat_rows(heat_share(world.trace, came_in.fuel), width)
    assert max(map(len, rows)) <= width
    assert all(row.isascii() and row.isprintable() for row in rows)


@settings(deadline=None)
@given(st.sampled_from(sorted(FAULTS)), widths)
def test_a_column_is_as_high_as_its_current(fault: str, width: int) -> None:
    """The height of each column is the median current of its time, to half a row."""
    trace = started(fault)[0].trace
    rows = current_rows(trace, width)[:HEIGHT]
    amps = columns_of(trace, width - LABEL - 2)
    highest = max(amps)
    for column, value in enumerate(amps):
        marks = [row[LABEL + 1 :][column : column + 1] for row in rows]
        height = marks.count("#")
        assert abs(height - HEIGHT * value / highest) <= 0.5
        assert ["#"] * height == [mark for mark in reversed(marks) if mark == "#"]


def test_columns_take_each_moment_once() -> None:
    """Columns are equal stretches of the run in order, each the median of its own moments."""
    trace = started("sound")[0].trace
    awake = [m for m in trace if m.at_s > 3.3]
    amps = columns_of(Trace(awake), 10)
    size = len(awake) / 10
    expected = [
        median(m.amps for m in awake[int(n * size) : int((n + 1) * size)]) for n in range(10)
    ]
    assert expected == list(amps)


def test_the_stages_of_a_sound_start() -> None:
    """A sound start has fan, glow plug, pump, flame, plug off and full power, in that order."""
    stages = stages_of(started("sound")[0].trace)
    names = ("fan alone", "glow plug", "pump joins", "flame", "plug off", "full power")
    assert names == tuple(stage.name for stage in stages)
    amps = {stage.name: stage.amps for stage in stages}
    assert amps["glow plug"] > 5 * amps["plug off"]
    heard = {stage.name: stage.sounds for stage in stages}
    assert (("fan",), ("fan",)) == (heard["fan alone"], heard["glow plug"])
    assert {"pump ticks", "flame"} <= set(heard["full power"])
    assert [s.to_s for s in stages[:-1]] == [s.from_s for s in stages[1:]]


@settings(deadline=None)
@given(widths)
def test_each_stage_has_its_number_below(width: int) -> None:
    """Every stage that is told of has its number under the drawing, apart from the others."""
    trace = started("sound")[0].trace
    numbers = current_rows(trace, width)[-2].split()
    told = [words.split(" ", 1)[0] for words in current_words(trace)]
    assert told == numbers


def test_heat_is_weighed_by_its_energy() -> None:
    """Watts in fuel and air are what the world's own tally of joules says over the same time."""
    world = World(small(), Random(1))
    world.start()
    world.run_to("full", within_s=800.0)
    world.run(400.0)
    before, moments = world.tally, len(world.moments)
    world.run(60.0)
    spent = 60.0
    share = heat_share(Trace(world.moments[moments:]), world.heater.fuel)
    assert share.air_w == pytest.approx((world.tally.air_j - before.air_j) / spent, rel=1e-6)
    freed_w = (world.tally.freed_j - before.freed_j) / spent
    assert share.fuel_w == pytest.approx(freed_w, rel=0.01)  # what is pumped is what burns
    others = world.tally.exhaust_j - before.exhaust_j + world.tally.case_j - before.case_j
    stored_w = share.lost_w - others / spent  # the body is still warming
    assert 0.0 < stored_w < 0.02 * share.fuel_w
    rows = heat_rows(share, 80)
    assert [f"{share.fuel_w:.0f}", f"{share.air_w:.0f}"] == [row.split()[3] for row in rows[:2]]
    assert f"{share.percent:.0f} % there." in heat_words(share, share)


def test_what_never_burnt_has_no_heat() -> None:
    """A run without a steady flame, or with nothing switched on, is refused in a sentence."""
    idle = World(small(), Random(1))
    trace = idle.run(3.0)
    with pytest.raises(WorkshopError, match=r"^it never burnt steadily in this run"):
        heat_share(trace, idle.heater.fuel)
    with pytest.raises(WorkshopError, match=r"^nothing was switched on in this run"):
        current_rows(trace, 80)
    with pytest.raises(WorkshopError, match=r"^this run holds no moment"):
        supply_path(Trace([]), 12.0, 10.0)


@given(st.lists(st.floats(0.0, 1e4), min_size=1, max_size=9), widths)
def test_bars_keep_the_order_of_values(values: list[float], width: int) -> None:
    """A greater value never has a shorter bar, and what is above nought always has one."""
    rows = bars([BarRow(f"row {n}", f"{v:.3g}", v) for n, v in enumerate(values)], width)
    lengths = [row.count("#") for row in rows]
    ordered = sorted(zip(values, lengths, strict=True))
    assert sorted(lengths) == [length for _, length in ordered]
    assert [value > 0.0 for value in values] == [length > 0 for length in lengths]
