"""A reading: an answer to a finding, how it is known, and when."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.model.rulebook import How, Value


@frozen
class Reading:
    """One accepted answer.

    `stage` counts the repairs done before it was taken: readings of an earlier stage speak
    of the unit as it was then.
    """

    finding: str
    value: Value
    how: How = "seen"
    when: str = ""
    stage: int = 0


SAME_WITHIN = 0.05
"""Of a number: what is read again is never the same to the last digit, nor is a slip so near."""


SAME_POINT_K = 2.0
"""The same for a temperature, in kelvin: what one thermometer may differ by (memory)."""


def agree(one: Value, other: Value) -> bool:
    """Tell whether two readings of one thing say the same.

    >>> agree("tight", "loose")
    False
    >>> from diag.model.quantity import quantity
    >>> agree(quantity(80, "C"), quantity(81, "C")), agree(quantity(80, "C"), quantity(88, "C"))
    (True, False)
    """
    if isinstance(one, str) or isinstance(other, str) or one.over_range or other.over_range:
        return one == other
    apart = abs(one.si - other.si)
    if one.dimension.point:  # a share of the distance to absolute zero would mean nothing
        return apart <= SAME_POINT_K
    return apart <= SAME_WITHIN * max(abs(one.si), abs(other.si))
