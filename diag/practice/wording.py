"""Readings as people say them: a number with what it is of, a look with what it looks like."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diag.model.quantity import Quantity
from diag.model.rulebook import Cause, Finding, Repair, Value

_NOUNS = ("volts ", "amps ")
"""How findings begin whose unit says it already."""


def capital(text: str) -> str:
    """Return a text with its first letter as a capital.

    >>> capital("no fuel")
    'No fuel'
    """
    return text[:1].upper() + text[1:]


def in_a_row(names: Iterable[str], last: str = "and") -> str:
    """Return names in a row, with a word before the last.

    >>> in_a_row(["fuse", "earth", "plug"]), in_a_row(["fuse"])
    ('fuse, earth and plug', 'fuse')
    """
    each = list(names)
    if len(each) < 2:
        return "".join(each)
    return f"{', '.join(each[:-1])} {last} {each[-1]}"


def read_back(finding: Finding, value: Value) -> str:
    """Return the sentence that tells a reading."""
    if isinstance(value, Quantity):
        noun = next((each for each in _NOUNS if finding.id.startswith(each)), "")
        if noun and finding.kind == "quantity" and not value.over_range:
            return f"{value} {finding.id.removeprefix(noun)}."
        return f"{capital(finding.id)}: {value}."
    if finding.kind == "yes/no":
        return f"{finding.ask} {capital(value)}."
    look = finding.choices.get(value, "")
    return f"{capital(finding.id)}: {value}{', ' + look if look and look != value else ''}."


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


def small(title: str) -> str:
    """Return a title as it stands within a sentence.

    >>> small("Bad earth")
    'bad earth'
    """
    return title[:1].lower() + title[1:]


def titles(causes: Sequence[Cause]) -> str:
    """Return causes by their titles, in a row."""
    return in_a_row(small(each.title) for each in causes)
