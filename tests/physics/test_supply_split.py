"""Where the volts go: conservation, the worst part, and hand-worked sums."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.physics.supply.split import (
    SupplyVolts,
    drops_from_points,
    share_percent,
    split_drop,
    split_supply,
)

READINGS = SupplyVolts(
    rest_v=12.6,
    terminals_v=12.3,
    fused_v=12.2,
    positive_pin_v=11.8,
    negative_pin_v=0.1,
    current_a=10.0,
)


def test_split_of_a_worked_case() -> None:
    """12.6 V at rest and 11.7 V across the pins lose 0.9 V, most in its positive (Kirchhoff)."""
    split = split_supply(READINGS)
    assert pytest.approx(0.9) == split.total_v
    assert split.worst == "positive cable"
    assert [
        ("battery", pytest.approx(0.3), pytest.approx(0.03)),
        ("joints and fuse holder", pytest.approx(0.1), pytest.approx(0.01)),
        ("positive cable", pytest.approx(0.4), pytest.approx(0.04)),
        ("negative cable", pytest.approx(0.1), pytest.approx(0.01)),
    ] == [(loss.part, loss.drop_v, loss.resistance_ohm) for loss in split.losses]


def test_worst_is_measured_against_what_is_sound() -> None:
    """The part furthest above its sound resistance is the worst, not merely the largest."""
    sound = {"positive cable": 0.038, "negative cable": 0.038, "battery": 0.03}
    assert split_supply(READINGS, sound).worst == "joints and fuse holder"


def test_share_of_a_drop() -> None:
    """0.4 V of 0.9 V is 44 % (arithmetic)."""
    assert pytest.approx(44.44, abs=0.01) == share_percent(0.4, 0.9)


def test_meter_noise_is_forgiven() -> None:
    """A point that reads 0.01 V above the one before it counts as no drop."""
    noisy = SupplyVolts(12.6, 12.3, 12.31, 11.8, 0.1, 10.0)
    assert drops_from_points(noisy)["joints and fuse holder"] == 0.0


@given(
    st.floats(11.5, 13.0),
    st.lists(st.floats(0.01, 1.0), min_size=4, max_size=4),
    st.floats(1, 30),
)
def test_parts_make_the_whole(rest: float, drops: list[float], amps: float) -> None:
    """The parts add up to rest volts less pin volts; their shares add up to 100 %."""
    battery, joints, plus, minus = drops
    terminals = rest - battery
    volts = SupplyVolts(rest, terminals, terminals - joints, terminals - joints - plus, minus, amps)
    split = split_supply(volts)
    assert pytest.approx(rest - (volts.positive_pin_v - minus)) == split.total_v
    assert pytest.approx(100.0) == sum(loss.percent for loss in split.losses)
    worst = max(split.losses, key=lambda loss: loss.drop_v)
    assert worst.drop_v == next(x.drop_v for x in split.losses if x.part == split.worst)


def test_split_takes_drops_measured_part_by_part() -> None:
    """Drops measured across each part directly give the same answer as points do."""
    assert split_drop(drops_from_points(READINGS), 10.0) == split_supply(READINGS)
