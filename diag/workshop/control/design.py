"""What the control unit was built to give its fan, for a motor as the class has it."""

from __future__ import annotations

from functools import cache

from diag.workshop.draw import heater_of
from diag.workshop.laws.motor import FULL_RAD_PER_S, volts_for


@cache
def design_volts(fan_share: float, nominal_v: float) -> float:
    """Give the motor's volts that a share of full speed was designed to need at a supply (V).

    >>> 9.0 < design_volts(1.0, 12.0) < 12.0
    True
    """
    return volts_for(heater_of().motor, fan_share * FULL_RAD_PER_S) * nominal_v / 12.0
