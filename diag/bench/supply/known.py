"""What is known of a supply: the limits of the trade, its cable, and one start as it was read."""

from __future__ import annotations

from diag.bench.figures import Measurement
from diag.bench.thresholds import Thresholds, threshold_value
from diag.model.frozen import frozen
from diag.model.quantity import compare, quantity

MOST_WIRING, MOST_CABLE = "most loss in the supply wiring", "most loss along one cable"
MOST_BATTERY, RESERVE = "most resistance of a sound battery", "reserve above the cut-off"
LEAST_FUSE = "least fuse over the ignition current"
FUSE_CURRENT = "fuse current of a square millimetre"


@frozen
class WiringLimits:
    """What a supply may lose while the glow plug is on (V), and what battery and fuse may be.

    `battery_ohm` is the most that a battery may have inside; `reserve_v` what the heater is to
    keep above its cut-off; a fuse is at least `least_fuse` times the ignition current, and at most
    `fuse_a_per_mm2` (A) for each mm2 of copper.
    """

    wiring_v: float
    one_cable_v: float
    copper_v: float
    battery_ohm: float
    reserve_v: float
    least_fuse: float
    fuse_a_per_mm2: float


def wiring_limits(thresholds: Thresholds, nominal_v: float) -> WiringLimits:
    """Return the limits for a system of this voltage (V); raises `ValueError` if one is missing."""
    data = {"nominal voltage": quantity(nominal_v, "V")}

    def limit(name: str, unit: str) -> float:
        return threshold_value(thresholds, name, unit, data)

    return WiringLimits(
        wiring_v=limit(MOST_WIRING, "V"),
        one_cable_v=limit(MOST_CABLE, "V"),
        copper_v=limit("most loss in the copper", "V"),
        battery_ohm=limit(MOST_BATTERY, "ohm"),
        reserve_v=limit(RESERVE, "V"),
        least_fuse=limit(LEAST_FUSE, "1"),
        fuse_a_per_mm2=limit(FUSE_CURRENT, "A"),
    )


def within(value: float, most: float) -> bool:
    """Tell whether a value keeps a limit, whatever a sum is off by in its last place."""
    return compare(value, most) <= 0


@frozen
class LaidCable:
    """The supply cable as it lies: its length one way (m) and the area of one conductor (mm2)."""

    length: Measurement
    area: Measurement


@frozen
class ReadStart:
    """What was read of one start: at rest, then while the glow plug is on. None: not read.

    Volts at the battery's terminals and at the heater's connector, volts lost along each cable, and
    the current (A). Volts taken with one meter: their errors are those that do not cancel in a
    difference.
    """

    rest: Measurement | None = None
    terminals: Measurement | None = None
    heater: Measurement | None = None
    positive: Measurement | None = None
    negative: Measurement | None = None
    amps: Measurement | None = None
