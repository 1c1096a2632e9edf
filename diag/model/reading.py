"""A reading: an answer to a finding, how it is known, and when."""

from __future__ import annotations

from dataclasses import dataclass

from diag.model.rulebook import How, Value


@dataclass(frozen=True, slots=True)
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
