"""What must hold of a unit, as people read it: names, states, and numbers of that unit."""

from __future__ import annotations

from diag.jobs.report.material import finding_titled
from diag.logic import figure
from diag.model.expression import And, Compare, Condition, Is, Ref, UnitRef, names_in, written
from diag.model.expression import Or as AnyOf
from diag.model.phrasing import in_a_row, small
from diag.model.rulebook import Rulebook
from diag.model.unit_data import UnitData
from diag.session.proof.good import CLASS_VALUE

OF_THE_UNIT = "unit "
SIDES = {
    ">=": "{} or more",
    "<=": "{} or less",
    ">": "more than {}",
    "<": "less than {}",
}


def must_hold(book: Rulebook, unit: UnitData, complaint: str, stored: str) -> str:
    """Return what one condition of a complaint's proof asks, as it stands at the head of a row.

    `stored`: the condition as the rule language writes it, which is told as it is where the rules
    have no such condition.
    """
    proofs = book.complaints[complaint].proof if complaint in book.complaints else ()
    known = {written(one.condition): one.condition for one in proofs}
    return finding_titled(_told(book, unit, known[stored]) if stored in known else stored)


def _told(book: Rulebook, unit: UnitData, condition: Condition) -> str:
    if isinstance(condition, And):
        return "; ".join(_told(book, unit, one) for one in condition.items)
    if isinstance(condition, AnyOf) and (states := _states(condition)):
        return states
    if isinstance(condition, Is):
        return f"{condition.name}: {in_a_row(condition.states, 'or')}"
    if isinstance(condition, Compare) and condition.op in SIDES:
        return _number(book, unit, condition) or written(condition)
    return written(condition)


def _states(condition: AnyOf) -> str:
    """Return the states of one name, any of which will do; empty for other conditions."""
    several = [one for one in condition.items if isinstance(one, Is)]
    names = {one.name for one in several}
    if len(several) < len(condition.items) or len(names) != 1:
        return ""
    return f"{names.pop()}: {in_a_row((state for one in several for state in one.states), 'or')}"


def _number(book: Rulebook, unit: UnitData, condition: Compare) -> str:
    """Return a limit worked out by the unit's data; empty where it hangs on more than those."""
    finding = condition.left.name if isinstance(condition.left, Ref) else ""
    asked = book.findings.get(finding)
    data = [one.removeprefix(OF_THE_UNIT) for one in names_in(condition.right)]
    if asked is None or asked.unit is None or not set(data) <= unit.data.keys():
        return ""
    si = figure.number(condition.right, lambda name: unit.data[name.removeprefix(OF_THE_UNIT)].si)
    limit = asked.unit.written(float(f"{asked.unit.from_si(si):.6g}"))
    if isinstance(condition.right, UnitRef):
        limit = str(unit.data[condition.right.name])
    scales = {name for one in book.thresholds.values() for name in one.proportional}
    by_class = any(name in unit.assumed - scales for name in data)
    return f"{small(finding)}: {SIDES[condition.op].format(limit)}{CLASS_VALUE * by_class}"
