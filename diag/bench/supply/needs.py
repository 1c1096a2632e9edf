"""What a heater needs of its supply: the cable's area, the fuse, and the battery behind them."""

from __future__ import annotations

from diag.bench.supply.known import WiringLimits
from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError
from diag.physics.supply.cable import (
    LEAST_AREA_MM2,
    circuit_resistance_ohm,
    drop_limit_v,
    smallest_area_mm2,
)
from diag.physics.supply.conductor import OHM_PER_KM

USUAL_AREAS_MM2 = (1.5, 2.5, 4.0, 6.0, 10.0)
"""Sizes of IEC 60228 that such heaters are wired with: common practice, no source."""


@frozen
class FuseRange:
    """The least current of a fuse that carries a start, and the most that its cable carries (A)."""

    least_a: float
    most_a: float

    @property
    def takes_any(self) -> bool:
        """Tell whether the cable carries a fuse that bears the start."""
        return self.least_a <= self.most_a

    def takes(self, rating_a: float) -> bool:
        """Tell whether a fuse fits both heater and cable."""
        return self.least_a <= rating_a <= self.most_a


def fuse_range(area_mm2: float, ignition_a: float, limits: WiringLimits) -> FuseRange:
    """Return between what a fuse lies for a cable's area (mm2) and an ignition current (A)."""
    return FuseRange(limits.least_fuse * ignition_a, limits.fuse_a_per_mm2 * area_mm2)


def least_area_mm2(length_m: float, ignition_a: float, limits: WiringLimits) -> float | None:
    """Return the least listed area (mm2) whose copper keeps within its limit, one way in m.

    It also carries a fuse that bears the start. None where no listed size is enough. Source: IEC
    60228:2004 Table 3, class 5 at 20 C.
    """
    return _at_least(
        _smallest(length_m, ignition_a, limits.copper_v),
        limits.least_fuse * ignition_a / limits.fuse_a_per_mm2,
    )


def small_craft_area_mm2(length_m: float, ignition_a: float, nominal_v: float) -> float | None:
    """Return the area (mm2) for the 3 % that ISO 10133 and ABYC E-11 ask of what must work."""
    return _smallest(length_m, ignition_a, drop_limit_v(nominal_v))


def _smallest(length_m: float, amps: float, limit_v: float) -> float | None:
    try:
        return smallest_area_mm2(length_m, amps, limit_v)
    except PhysicsError:
        return None


def _at_least(found_mm2: float | None, least_mm2: float) -> float | None:
    """Return the next listed size from both ends upward; none is thinner than ISO 10133 allows."""
    if found_mm2 is None:
        return None
    least = max(found_mm2, least_mm2, LEAST_AREA_MM2["single conductor"])
    return next((size for size, _ in OHM_PER_KM["class 5"] if size >= least), None)


def longest_run_m(area_mm2: float, ignition_a: float, limits: WiringLimits) -> float:
    """Return how long a cable may be, one way in m, for its copper to keep within its limit."""
    return limits.copper_v / (ignition_a * circuit_resistance_ohm(1.0, area_mm2))


def rest_needed_v(
    heater_v: float, ignition_a: float, wiring_ohm: float, battery_ohm: float
) -> float:
    """Return what a battery must read at rest for the heater to keep so many volts (V).

    Source: Ohm's law, `appliance_volts_v` solved for the volts at rest.
    """
    return heater_v + ignition_a * (wiring_ohm + battery_ohm)
