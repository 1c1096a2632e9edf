"""Sums over readings: their value, and the readings' errors carried through to first order."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import isfinite
from typing import Protocol

from diag.logic.rests_on import resting_on
from diag.model.expression import Arithmetic, Literal, Ref, Term, UnitRef, names_in, written
from diag.model.quantity import DIMENSIONLESS, POINT, UNITS, Dimension, Quantity, Unit
from diag.model.rulebook import Figure
from diag.physics.errors import PhysicsError
from diag.physics.uncertainty import propagate

Held = Quantity | frozenset[str]
"""What a name holds: a number, or the states of a sign (the one state of a choice)."""


class View(Protocol):
    """What a condition may see; a datum of the unit goes by `unit NAME`."""

    def value(self, name: str) -> Held | None:
        """Return what is known of a finding, sign, figure or datum of the unit."""

    def deciders(self, name: str) -> frozenset[str]:
        """Return the findings and unit data whose answer could make an unknown name known."""

    def figure(self, name: str) -> Figure | None:
        """Return the figure of that name, if it is one."""


NumberOf = Callable[[str], float]
"""A name's number in SI."""


def arithmetic(op: str, left: float, right: float) -> float:
    """Do one step of a sum; `ValueError` or `ZeroDivisionError` where it has no result.

    >>> arithmetic("-", 12.5, 0.5)
    12.0
    """
    if op == "/":
        result = left / right
    elif op == "*":
        result = left * right
    else:
        result = left + right if op == "+" else left - right
    if not isfinite(result):
        raise ValueError("the result is too large to be true")
    return result


def number(term: Term, look: NumberOf) -> float:
    """Work a sum out in SI; `ValueError` or `ZeroDivisionError` where it cannot be."""
    if isinstance(term, Literal):
        return term.quantity.si
    if isinstance(term, Arithmetic):
        return arithmetic(term.op, number(term.left, look), number(term.right, look))
    return look(written(term))


def figured(figure: Figure, look: NumberOf) -> float:
    """Work a figure out in SI; `ValueError` or `ArithmeticError` where it cannot be."""
    numbers = [number(term, look) for term in figure.terms]
    formula = figure.formula
    if formula is None:
        return numbers[0]
    units = [UNITS[symbol] for _, symbol in formula.inputs]
    result = formula.compute(*(unit.from_si(si) for unit, si in zip(units, numbers, strict=True)))
    if not isfinite(result):
        raise ValueError(f"`{formula.name}` has no result for these readings")
    return UNITS[formula.unit].to_si(result)


def value_of(term: Term, view: View) -> Quantity | None:
    """Return the value of a sum with its error, or None while it is not known."""
    try:
        return work_out(term, view)
    except ValueError:
        return None


def work_out(term: Term, view: View) -> Quantity | None:
    """Return the value of a sum with its error, None while something in it is not known.

    Raises `ValueError` with one sentence where all is known and there is no result.
    """
    if isinstance(term, Literal):
        return term.quantity
    if isinstance(term, Ref | UnitRef):
        held = view.value(written(term))
        figure = view.figure(term.name) if held is None and isinstance(term, Ref) else None
        if figure:
            return work_out_figure(figure, view)
        if isinstance(held, frozenset):
            raise ValueError(f"`{written(term)}` is not a number")
        return held
    carried = _carry(lambda look: number(term, look), (term,), view)
    return carried and Quantity(carried[0], _unit_of(term, view), carried[1])


def work_out_figure(figure: Figure, view: View) -> Quantity | None:
    """Return a figure's value with its error, None while something in it is not known.

    Raises `ValueError` with one sentence where all is known and there is no result.
    """
    carried = _carry(lambda look: figured(figure, look), figure.terms, view)
    return carried and Quantity(carried[0], figure.unit, carried[1])


def _carry(
    function: Callable[[NumberOf], float], terms: Iterable[Term], view: View
) -> tuple[float, float] | None:
    """Return value and error in SI; a reading that enters by two ways counts as one."""
    readings: dict[str, Quantity] = {}
    for name in _readings_under(terms, view):
        held = view.value(name)
        if held is None:
            return None
        if isinstance(held, frozenset):
            raise ValueError(f"`{name}` is not a number")
        readings[name] = held

    def at(*numbers: float) -> float:
        return _worked_out(function, dict(zip(readings, numbers, strict=True)), view)

    values = [reading.si for reading in readings.values()]
    errors = [reading.error for reading in readings.values()]
    return propagate(at, values, errors) if any(errors) else (at(*values), 0.0)


def _worked_out(
    function: Callable[[NumberOf], float], numbers: dict[str, float], view: View
) -> float:
    """Work a sum out from readings, figures on the way once each."""

    def look(name: str) -> float:
        if name not in numbers:
            figure = view.figure(name)
            assert figure is not None
            numbers[name] = figured(figure, look)
        return numbers[name]

    try:
        return function(look)
    except ZeroDivisionError as error:
        raise PhysicsError("these readings divide by zero") from error
    except (ValueError, ArithmeticError) as error:
        raise PhysicsError(str(error)) from error


def _readings_under(terms: Iterable[Term], view: View) -> tuple[str, ...]:
    """Return the findings and unit data under some sums, figures taken apart."""

    def below(name: str) -> tuple[str, ...] | None:
        figure = view.figure(name)
        return names_in(*figure.terms) if figure else None

    return resting_on(names_in(*terms), below)


def _unit_of(term: Term, view: View) -> Unit:
    """Return the unit in which people would read the result of a sum."""
    if isinstance(term, Literal):
        return term.quantity.unit
    if not isinstance(term, Arithmetic):
        held = view.value(written(term))
        return held.unit if isinstance(held, Quantity) else UNITS["1"]
    left, right = _unit_of(term.left, view), _unit_of(term.right, view)
    if term.op in "+-":
        both_points = left.dimension == right.dimension == POINT
        return UNITS["K"] if both_points else right if right.dimension == POINT else left
    if right.dimension == DIMENSIONLESS:
        return left
    if left.dimension == DIMENSIONLESS and term.op == "*":
        return right
    over = term.op == "/"
    return _plain_unit(
        left.dimension.over(right.dimension) if over else left.dimension.times(right.dimension)
    )


def _plain_unit(dimension: Dimension) -> Unit:
    """Return the SI unit of a dimension, else any unit of it, else one without a symbol."""
    fitting = [unit for unit in UNITS.values() if unit.dimension == dimension]
    fitting.sort(key=lambda unit: unit.factor != 1)
    return fitting[0] if fitting else Unit("SI", dimension)
