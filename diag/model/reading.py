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


def agree(one: Value, other: Value) -> bool:
    """Tell whether two readings of one thing say the same.

    >>> agree("tight", "loose")
    False
    """
    if isinstance(one, str) or isinstance(other, str) or one.over_range or other.over_range:
        return one == other
    return abs(one.si - other.si) <= SAME_WITHIN * max(abs(one.si), abs(other.si))
