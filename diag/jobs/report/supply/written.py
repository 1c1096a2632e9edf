"""Numbers of a supply as a report writes them: no finer than they are known."""

from __future__ import annotations

from math import ceil, floor, log10

from diag.bench.figures import Measurement
from diag.bench.supply.losses import PartLoss
from diag.jobs.report.supply.facts import IGNITION, MEASURED, SupplyFacts
from diag.model.quantity import plain_number

USUAL_FOR_ITS_KIND = " (usual for its kind)"
"""What an owner reads behind a number of the heater's class."""


def volts(value: float) -> str:
    """Write volts as a usual meter shows them.

    >>> volts(0.7200000001), volts(11.0)
    ('0.72 V', '11.00 V')
    """
    return f"{value:.2f} V"


def milliohms(ohm: float) -> str:
    """Write a small resistance in full mohm.

    >>> milliohms(0.0484)
    '48 mohm'
    """
    return f"{1000 * ohm:.0f} mohm"


def up(value: float, digits: int = 3) -> str:
    """Write a number rounded up: what is at least wanted.

    >>> up(12.2851), up(11.4), up(0.5401), up(12)
    ('12.3', '11.4', '0.541', '12')
    """
    return _rounded(value, digits, ceil)


def down(value: float, digits: int = 2) -> str:
    """Write a number rounded down: what is at most allowed.

    >>> down(3.5614), down(20.0), down(142.7, 3)
    ('3.5', '20', '142')
    """
    return _rounded(value, digits, floor)


def _rounded(value: float, digits: int, towards: object) -> str:
    places = digits - 1 - floor(log10(abs(value))) if value else 0
    # What a sum is off by in its last bits is no reason to round away from it.
    scaled = round(value * 10.0**places, 6)
    whole = ceil(scaled) if towards is ceil else floor(scaled)
    return plain_number(float(f"{whole / 10.0**places:.6g}"))


def area(mm2: float) -> str:
    """Write the area of a conductor.

    >>> area(4.0)
    '4 mm2'
    """
    return f"{mm2:g} mm2"


def written_length(length_m: float) -> str:
    """Write a length one way, and the copper that it takes there and back.

    >>> written_length(4.5)
    '4.5 m one way (9 m there and back)'
    """
    return f"{length_m:g} m one way ({2 * length_m:g} m there and back)"


def lost(one: PartLoss, amps: Measurement | None) -> str:
    """Write what a part loses: volts, and where the current was read, at what and its mohm."""
    if one.ohm is None or amps is None:
        return volts(one.drop.value)
    return f"{volts(one.drop.value)} at {amps.value:g} A, {milliohms(one.ohm.value)}"


def ignition_amps(facts: SupplyFacts) -> str:
    """Write what the heater draws while its glow plug is on, and where that comes from."""
    known = facts.ignition
    assert known is not None
    usual = known.name != MEASURED and facts.class_value(IGNITION)
    return f"{known.value:g} A" + (USUAL_FOR_ITS_KIND if usual else f" {known.name}")
