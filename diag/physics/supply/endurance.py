"""How long a battery lasts: starts, hours and days of standby."""

from diag.physics.errors import above, between

MAX_CAPACITY_AH = 5000.0


def usable_charge_ah(
    capacity_ah: float, used_percent: float, capacity_factor: float = 1.0
) -> float:
    """Give the charge (Ah) that may be taken, using a percent of a capacity (Ah).

    `capacity_factor` is what cold leaves of it. Half is common practice for lead-acid, no
    source. Raises `PhysicsError` for a percent above 100.

    >>> usable_charge_ah(100.0, 50.0, 0.82)
    41.0
    """
    above("battery capacity", capacity_ah, "Ah", most=MAX_CAPACITY_AH)
    between("share of the capacity used", used_percent, "%", least=0.0, most=100.0)
    above("capacity factor", capacity_factor, "1", most=1.0)
    return capacity_ah * used_percent / 100 * capacity_factor


def hours_carried(charge_ah: float, current_a: float) -> float:
    """Give the hours for which a charge (Ah) carries a current (A).

    Source: charge over current; right for currents near the 20-hour rate or below. Raises
    `PhysicsError` for a current of 0 A or less.

    >>> round(hours_carried(50.0, 1.5), 2)
    33.33
    """
    between("usable charge", charge_ah, "Ah", least=0.0, most=MAX_CAPACITY_AH)
    above("current", current_a, "A", most=1000.0)
    return charge_ah / current_a


def standby_days(capacity_ah: float, used_percent: float, standby_a: float) -> float:
    """Give the days in which a standby drain (A) takes a percent of a capacity (Ah).

    Source: charge over current; a battery's own discharge comes on top. Raises `PhysicsError`
    for a drain of 0 A or less.

    >>> round(standby_days(100.0, 50.0, 0.085), 1)
    24.5
    """
    return hours_carried(usable_charge_ah(capacity_ah, used_percent), standby_a) / 24


def starts_carried(charge_ah: float, start_ah: float) -> int:
    """Give the whole number of starts, each of so many Ah, that a charge (Ah) carries.

    Source: charge over charge. Raises `PhysicsError` for a start of 0 Ah or less.

    >>> starts_carried(50.0, 0.23)
    217
    """
    between("usable charge", charge_ah, "Ah", least=0.0, most=MAX_CAPACITY_AH)
    above("charge of one start", start_ah, "Ah", most=100.0)
    return int(charge_ah / start_ah + 1e-9)
