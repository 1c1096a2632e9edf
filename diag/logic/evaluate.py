"""Conditions in three values: true, false, not known yet, and what would settle them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field

from diag.logic.figure import Held, View, work_out
from diag.model.expression import And, Compare, Condition, Is, Not, Or, names_in
from diag.model.frozen import frozen
from diag.model.quantity import Quantity, compare

NO_NAMES: frozenset[str] = frozenset()

SENSE: Mapping[str, Callable[[int], bool]] = {
    "<": lambda order: order < 0,
    "<=": lambda order: order <= 0,
    ">": lambda order: order > 0,
    ">=": lambda order: order >= 0,
    "=": lambda order: order == 0,
    "!=": lambda order: order != 0,
}
"""What each comparison asks of the order (-1, 0 or 1) of its two sides."""


@frozen
class Outcome:
    """How one condition stands, and its parts in the order written.

    `truth` is None while it is not known. `missing` holds the findings, and the unit data as
    `unit NAME`, whose answer could still change the truth: empty once it is settled, and empty
    too where nothing that can be asked would settle it. It may be filled where `known(...)`
    is only false until an answer comes. `values` is what the names hold, `sides` the two sides
    of a comparison, and `reason` says why a sum of known numbers has no result.
    """

    node: Condition
    truth: bool | None
    parts: tuple[Outcome, ...] = ()
    missing: frozenset[str] = NO_NAMES
    values: Mapping[str, Held] = field(default_factory=dict)
    sides: tuple[Quantity | None, Quantity | None] | None = None
    reason: str = ""


def evaluate(condition: Condition, view: View) -> Outcome:
    """Work a condition out by strong Kleene logic, with `known(x)` false until x is known.

    Kleene, "Introduction to Metamathematics" (1952), section 64.
    """
    if isinstance(condition, Not):
        part = evaluate(condition.item, view)
        truth = None if part.truth is None else not part.truth
        return Outcome(condition, truth, (part,), part.missing)
    if isinstance(condition, And | Or):
        parts = tuple(evaluate(item, view) for item in condition.items)
        decisive = isinstance(condition, Or)
        stands = [(part.truth, part.missing) for part in parts]
        truth, missing = joined(stands, decisive)
        return Outcome(condition, truth, parts, missing)
    if isinstance(condition, Compare):
        return _compared(condition, view)
    held = view.value(condition.name)
    values = {} if held is None else {condition.name: held}
    missing = view.deciders(condition.name) if held is None else NO_NAMES
    truth = held is not None
    if isinstance(condition, Is):
        truth = _is_in(condition, held)
    return Outcome(condition, truth, missing=missing, values=values)


TruthStanding = tuple[bool | None, frozenset[str]]
"""A truth, and what could still change it."""


def joined(parts: Iterable[TruthStanding], decisive: bool) -> TruthStanding:
    """Join parts by `or` when true is decisive, by `and` when false is.

    A part that has the decisive truth for good settles the whole for good.

    >>> joined([(None, frozenset({"a"})), (False, frozenset())], decisive=False)
    (False, frozenset())
    """
    truth: bool | None = not decisive
    missing = NO_NAMES
    settled = False
    for part, open_to in parts:
        if part is decisive:
            truth = decisive
            settled = settled or not open_to
        elif part is None and truth is not decisive:
            truth = None
        missing |= open_to
    return truth, NO_NAMES if settled else missing


def _is_in(condition: Is, held: Held | None) -> bool | None:
    if not isinstance(held, frozenset):
        return None if held is None else False
    return not held.isdisjoint(condition.states)


def _compared(condition: Compare, view: View) -> Outcome:
    sides: list[Quantity | None] = []
    reason = ""
    for term in (condition.left, condition.right):
        try:
            sides.append(work_out(term, view))
        except ValueError as error:
            sides.append(None)
            reason = reason or str(error)
    left, right = sides
    truth: bool | None = None
    if left is not None and right is not None:
        truth = SENSE[condition.op](compare(left.si, right.si))
    names = names_in(condition)
    held = {name: view.value(name) for name in names}
    missing = NO_NAMES
    if truth is None and not reason:
        missing = missing.union(*(view.deciders(name) for name in names if held[name] is None))
    values = {name: value for name, value in held.items() if value is not None}
    return Outcome(condition, truth, (), missing, values, (left, right), reason)


def grounds(outcome: Outcome) -> dict[str, Held]:
    """Return the values on which a settled outcome stands, in the order written.

    Of an `or` that is true only the true parts count, of an `and` that is false only the
    false ones.
    """
    if not outcome.parts:
        return dict(outcome.values)
    decisive = isinstance(outcome.node, Or)
    found: dict[str, Held] = {}
    for part in outcome.parts:
        aside = outcome.truth is decisive and part.truth is not decisive
        if isinstance(outcome.node, Not) or not aside:
            found.update(grounds(part))
    return found
