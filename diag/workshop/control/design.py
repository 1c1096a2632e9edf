"""What the control unit gives its fan for a speed, without measuring it."""

from __future__ import annotations

from diag.workshop.parts.sensing import ControlUnit

# Of the volts for full speed: standstill, with the motor's own volts, with drag in the air. They
# make a sound motor of the class turn at the share that is asked for.
_STILL, _TURNING, _DRIVING = 0.04, 0.61, 0.35


def fan_v(unit: ControlUnit, share: float) -> float:
    """Give the motor's volts for a share of full speed.

    >>> round(fan_v(small.control_unit, 1.0), 1)
    11.8
    """
    return unit.fan_full_v * (_STILL + _TURNING * share + _DRIVING * share**2)
