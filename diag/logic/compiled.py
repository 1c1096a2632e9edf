"""Conditions made into plain functions of the cells: the same truths, without the tree."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.logic.evaluate import SENSE
from diag.logic.figure import Held, arithmetic
from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Condition,
    Is,
    Literal,
    Not,
    Or,
    Term,
    names_in,
    written,
)
from diag.model.quantity import Quantity, compare

Cells = list[Held | None]
Truth = Callable[[Cells], bool | None]


def compiled(condition: Condition, cell: Mapping[str, int]) -> Truth:
    """Return the function that gives a condition's truth; `cell` says where each name is held.

    A name without a cell is never known.
    """
    if isinstance(condition, Compare):
        return _comparison(condition, cell)
    if isinstance(condition, Not):
        return _denial(compiled(condition.item, cell))
    if isinstance(condition, And | Or):
        parts = tuple(compiled(item, cell) for item in condition.items)
        return _junction(parts, isinstance(condition, Or))
    if condition.name not in cell:
        return (lambda _: None) if isinstance(condition, Is) else (lambda _: False)
    where = cell[condition.name]
    if isinstance(condition, Is):
        return _state(where, frozenset(condition.states))
    return lambda cells: cells[where] is not None


def _state(where: int, states: frozenset[str]) -> Truth:
    def truth(cells: Cells) -> bool | None:
        held = cells[where]
        if held is None:
            return None
        return isinstance(held, frozenset) and not states.isdisjoint(held)

    return truth


def _denial(item: Truth) -> Truth:
    def truth(cells: Cells) -> bool | None:
        inner = item(cells)
        return None if inner is None else not inner

    return truth


def _junction(parts: tuple[Truth, ...], decisive: bool) -> Truth:
    def truth(cells: Cells) -> bool | None:
        result: bool | None = not decisive
        for part in parts:
            one = part(cells)
            if one is decisive:
                return decisive
            if one is None:
                result = None
        return result

    return truth


def _comparison(condition: Compare, cell: Mapping[str, int]) -> Truth:
    names = names_in(condition)
    if any(name not in cell for name in names):
        return lambda _: None
    places = tuple(cell[name] for name in names)
    left, right = _sum(condition.left, cell), _sum(condition.right, cell)
    sense = SENSE[condition.op]

    def truth(cells: Cells) -> bool | None:
        for place in places:
            if not isinstance(cells[place], Quantity):
                return None
        try:
            return sense(compare(left(cells), right(cells)))
        except (ValueError, ArithmeticError):
            return None

    return truth


def _sum(term: Term, cell: Mapping[str, int]) -> Callable[[Cells], float]:
    """Return the function that works a sum out in SI, given that all its cells hold numbers."""
    if isinstance(term, Literal):
        constant = term.quantity.si
        return lambda _: constant
    if isinstance(term, Arithmetic):
        op, left, right = term.op, _sum(term.left, cell), _sum(term.right, cell)
        return lambda cells: arithmetic(op, left(cells), right(cells))
    place = cell[written(term)]

    def held(cells: Cells) -> float:
        here = cells[place]
        assert isinstance(here, Quantity)
        return here.si

    return held
