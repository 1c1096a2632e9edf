"""Readings as people say them: a number with what it is of, a look with what it looks like."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.phrasing import capital, in_a_row, small
from diag.model.quantity import Quantity
from diag.model.rulebook import Cause, Finding, Repair, Value

_NOUNS = ("volts ", "amps ")
"""How findings begin whose unit says it already."""


def read_back(finding: Finding, value: Value) -> str:
    """Return the sentence that tells a reading."""
    if isinstance(value, Quantity):
        noun = next((each for each in _NOUNS if finding.id.startswith(each)), "")
        if noun and finding.kind == "quantity" and not value.over_range:
            return f"{value} {finding.id.removeprefix(noun)}."
        return f"{capital(finding.id)}: {value}."
    if finding.kind == "yes/no":
        return f"{finding.ask} {capital(value)}."
    return f"{capital(finding.id)}: {finding.choices.get(value) or value}."


def minutes(work: float, waited: float = 0.0) -> str:
    """Return minutes of work, and of waiting where there is any.

    >>> minutes(25.3), minutes(3.0, 15.0)
    ('25 min of work', '3 min of work and 15 min of waiting')
    """
    waiting = f" and {waited:.0f} min of waiting" if waited >= 0.5 else ""
    return f"{work:.0f} min of work{waiting}"


def bought_for(repair: Repair) -> tuple[str, ...]:
    """Return the parts that a repair takes: those that are bought."""
    return tuple(name for name, price in repair.parts.items() if price > 0.0)


def titles(causes: Sequence[Cause]) -> str:
    """Return causes by their titles, in a row."""
    return in_a_row(small(each.title) for each in causes)
