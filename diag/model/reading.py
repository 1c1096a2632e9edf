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
