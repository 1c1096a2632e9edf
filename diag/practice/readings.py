"""What people put down for a finding of a practice unit, and what would be true of it."""

from __future__ import annotations

from math import isinf

from diag.model.quantity import OVER_RANGE, UNITS, Quantity
from diag.model.rulebook import Rulebook, Value
from diag.practice.units import PracticeUnit
from diag.rulebook import parse_answer
from diag.workshop.data.findings import REST, MeasuredFinding
from diag.workshop.meters import SPECIFICATIONS


def taken_value(
    book: Rulebook, unit: PracticeUnit, finding: str, *, truly: bool = False
) -> Value | None:
    """Give the value that people would enter; None for nothing, or what cannot be believed.

    What is asked `truly` has no error of meter or man in it.
    """
    found = book.findings[finding]
    if finding in unit.told:
        return parse_answer(unit.told[finding], found)
    told = unit.files.findings.get(finding)
    if told is None:
        untold = unit.files.untold.get(finding)
        return None if untold is None else parse_answer(untold, found)
    read = unit.visit.truth(finding) if truly else unit.visit.tell(finding)
    if read is None or isinstance(read, str):
        return read
    assert isinstance(told, MeasuredFinding)
    return as_value(read, told, book, finding)


def true_at_rest(book: Rulebook, unit: PracticeUnit, finding: str) -> Value | None:
    """Give what is true of a finding that needs no run; None for one that needs one."""
    told = unit.files.findings.get(finding)
    if told is not None and told.during != REST:
        return None
    return taken_value(book, unit, finding, truly=True)


def as_value(read: float, told: MeasuredFinding, book: Rulebook, finding: str) -> Value | None:
    """Give a number as the finding wants it, a code as text; None where nobody would believe it.

    What is beyond belief by no more than the meter's own error is put down as the end of what is
    believed: nobody takes -0.02 V for a voltage.
    """
    found = book.findings[finding]
    if found.kind == "code":
        return parse_answer(f"{read:g}", found)
    if found.unit is None:
        return None
    if isinf(read):
        return parse_answer(OVER_RANGE, found)
    unit, span = UNITS[told.reading.unit], found.believable
    value = unit.to_si(read)
    if span is not None:
        ends = span[0].si, span[1].si
        nearest = min(max(value, ends[0]), ends[1])
        if nearest != value and abs(unit.from_si(nearest) - read) > _error(told, read):
            return None
        value = nearest
    return Quantity(value, found.unit)


def _error(told: MeasuredFinding, read: float) -> float:
    """Give how far (unit of the reading) a meter may be off there; 0 without one."""
    return SPECIFICATIONS[told.meter].limit(read) if told.meter else 0.0
