"""Where the volts between a battery and an appliance are lost."""

from collections.abc import Mapping
from itertools import pairwise

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between

BATTERY = "battery"
JOINTS_PART = "joints and fuse holder"
POSITIVE_CABLE = "positive cable"
NEGATIVE_CABLE = "negative cable"
METER_NOISE_V = 0.02  # a reading may stand this far above the one before it


@frozen
class SupplyVolts:
    """Hold volts taken under one load, all against the battery's negative terminal (V, A).

    `rest_v` is the positive terminal without load, `terminals_v` the same under load, `fused_v`
    behind fuse holder and joints, `positive_pin_v` and `negative_pin_v` the appliance's two pins.
    """

    rest_v: float
    terminals_v: float
    fused_v: float
    positive_pin_v: float
    negative_pin_v: float
    current_a: float


@frozen
class Loss:
    """Hold one part's share: drop in V, percent of the whole, resistance in ohm, excess in V."""

    part: str
    drop_v: float
    percent: float
    resistance_ohm: float
    excess_v: float


@frozen
class SupplySplit:
    """Hold every part's loss, the whole drop (V), and the part with the greatest excess."""

    losses: tuple[Loss, ...]
    total_v: float
    worst: str


def share_percent(part_v: float, whole_v: float) -> float:
    """Give the percent that a part of a drop (V) is of the whole drop (V).

    Source: arithmetic. Raises `PhysicsError` if the part is above the whole.

    >>> share_percent(0.3, 1.2)
    25.0
    """
    above("whole drop", whole_v, "V", most=60.0)
    between("part of the drop", part_v, "V", least=0.0, most=whole_v)
    return 100 * part_v / whole_v


def drops_from_points(volts: SupplyVolts) -> dict[str, float]:
    """Give the drop (V) of battery, joints and both cables from volts at five points.

    Source: Kirchhoff's voltage law. Raises `PhysicsError` if the volts rise along the way from
    the battery by more than a meter's noise.

    >>> drops = drops_from_points(SupplyVolts(12.6, 12.3, 12.2, 11.8, 0.1, 10.0))
    >>> round(drops["positive cable"], 3)
    0.4
    """
    path = (
        ("volts at rest", volts.rest_v),
        ("volts at the terminals under load", volts.terminals_v),
        ("volts behind the fuse holder", volts.fused_v),
        ("volts at the positive pin", volts.positive_pin_v),
        ("volts at the negative pin", volts.negative_pin_v),
    )
    for name, value in path:
        between(name, value, "V", least=0.0, most=60.0)
    for (before, high_v), (after, low_v) in pairwise(path):
        if low_v > high_v + METER_NOISE_V:
            raise PhysicsError(
                f"`{after}` is {low_v:g} V: expected at most the `{before}`, {high_v:g} V"
            )
    return {
        BATTERY: max(0.0, volts.rest_v - volts.terminals_v),
        JOINTS_PART: max(0.0, volts.terminals_v - volts.fused_v),
        POSITIVE_CABLE: max(0.0, volts.fused_v - volts.positive_pin_v),
        NEGATIVE_CABLE: volts.negative_pin_v,
    }


def split_drop(
    drops_v: Mapping[str, float], current_a: float, expected_ohm: Mapping[str, float] | None = None
) -> SupplySplit:
    """Split a drop among its parts (V each) at a current (A), naming the worst.

    `expected_ohm` is what a sound part may have; the worst is the one furthest above it.
    Source: Kirchhoff's and Ohm's laws. Raises `PhysicsError` without parts or current.

    >>> split = split_drop({"battery": 0.3, "positive cable": 0.4, "negative cable": 0.1}, 10.0)
    >>> split.worst, round(split.total_v, 3)
    ('positive cable', 0.8)
    """
    if not drops_v:
        raise PhysicsError("`drops` is empty: expected the drop of at least one part in V")
    above("current", current_a, "A", most=2000.0)
    for part, drop_v in drops_v.items():
        between(f"drop of the {part}", drop_v, "V", least=0.0, most=60.0)
    total_v = sum(drops_v.values())
    above("whole drop", total_v, "V", most=60.0)
    expected = expected_ohm or {}
    losses = tuple(
        Loss(
            part=part,
            drop_v=drop_v,
            percent=100 * drop_v / total_v,
            resistance_ohm=drop_v / current_a,
            excess_v=drop_v - expected.get(part, 0.0) * current_a,
        )
        for part, drop_v in drops_v.items()
    )
    return SupplySplit(losses, total_v, max(losses, key=lambda loss: loss.excess_v).part)


def split_supply(
    volts: SupplyVolts, expected_ohm: Mapping[str, float] | None = None
) -> SupplySplit:
    """Split the drop from rested battery to appliance by volts at five points, naming the worst.

    Source: Kirchhoff's and Ohm's laws. Raises `PhysicsError` as `drops_from_points` does.

    >>> split_supply(SupplyVolts(12.6, 12.3, 12.2, 11.8, 0.1, 10.0)).worst
    'positive cable'
    """
    return split_drop(drops_from_points(volts), volts.current_a, expected_ohm)
