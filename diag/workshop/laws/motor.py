"""The fan motor: current from volts and speed, and speed from torque and drag."""

from __future__ import annotations

from math import exp

from diag.workshop.parts.combustion import Motor

FULL_RAD_PER_S = 490.0  # about 4,700 a minute: memory
_AIR_TORQUE_NM_S2 = 1.25e-7  # both wheels, at 1.2 kg/m3: memory, gives about 2 A flat out
_REFERENCE_KG_PER_M3 = 1.2
_SEIZED_NM = 1.0


def current_a(motor: Motor, volts: float, speed_rad_per_s: float) -> float:
    """Give its current (A): volts less what its turning makes, over its resistance.

    >>> current_a(small.motor, 12.0, 0.0)
    6.0
    """
    return (volts - motor.volt_seconds * speed_rad_per_s) / motor.resistance_ohm


def drag_nm(motor: Motor, speed_rad_per_s: float, density_kg_per_m3: float) -> float:
    """Give what holds it back (Nm): bearing, and both wheels in air of a density."""
    air = _AIR_TORQUE_NM_S2 * density_kg_per_m3 / _REFERENCE_KG_PER_M3 * motor.wheel_drag
    return motor.bearing_drag_nm + motor.seized * _SEIZED_NM + air * speed_rad_per_s**2


def turned_rad_per_s(
    motor: Motor, speed: float, volts: float | None, density: float, dt_s: float
) -> float:
    """Give its speed (rad/s) after a step of time (s); no volts is a driver that is off.

    The torque is taken as linear in speed over the step, so that any step is stable.
    """
    push = 0.0 if volts is None else motor.volt_seconds * max(0.0, current_a(motor, volts, speed))
    back = 0.0 if volts is None else motor.volt_seconds**2 / motor.resistance_ohm
    held = drag_nm(motor, speed, density)
    slope = back + 2.0 * (held - motor.bearing_drag_nm) / max(speed, 1.0) + 1e-9
    if motor.seized > 0.5:
        return 0.0
    gained = (push - held) / slope * (1.0 - exp(-slope * dt_s / motor.inertia_kg_m2))
    return max(0.0, speed + gained)
