"""Conditions read by their clauses, each form of which is parsed and checked once.

A rulebook says the same few things of many numbers. So a condition is cut at its `and` and `or`,
and a clause that ends in a number and its unit is known by its other words. What cannot be read
so is left to the parser as a whole, which also says what is wrong.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Condition,
    Expression,
    Literal,
    Not,
    Or,
)
from diag.model.quantity import Gauge, Quantity
from diag.rulebook.language import grammar
from diag.rulebook.language.tokens import PLAIN_NUMBER

_is_number = PLAIN_NUMBER.fullmatch
"""What is written otherwise is left to the parser, which reads it as any typed amount."""


@dataclass(slots=True, eq=False, repr=False)
class Form:
    """What clauses have in common that differ in one number at most."""

    condition: Condition
    """The clause, with 0 for the number."""
    of: Callable[[float], Condition] | None = None
    """Makes the clause of a number; None where nothing is left open."""


class Read(NamedTuple):
    """A condition as read, and the forms of its clauses."""

    condition: Condition
    forms: tuple[Form, ...]


def condition(text: str) -> Read:
    """Read a condition; raises `Mistake`.

    >>> condition("volts < 5 V or volts < 6 V").forms[0] is condition("volts < 7 V").forms[0]
    True
    """
    # What has no more characters than the parser takes tokens is never too long for it.
    read = _by_clauses(text) if len(text) <= grammar.LONGEST else None
    if read is None:
        whole = grammar.condition(text)
        read = Read(whole, (Form(whole),))
    return read


def _by_clauses(text: str) -> Read | None:
    """Read what `and` and `or` join; None when a clause makes no sense by itself."""
    forms: list[Form] = []
    either: list[Condition] = []
    for part in text.split(" or "):
        both: list[Condition] = []
        for clause in part.split(" and "):
            words = clause.rsplit(" ", 2)
            ends_so = len(words) == 3 and _is_number(words[1])
            form = (ends_so and open_form(words[0], words[2])) or closed_form(clause)
            if form is None:
                return None
            forms.append(form)
            both.append(form.of(float(words[1])) if form.of else form.condition)
        either.append(And(tuple(both)) if len(both) > 1 else both[0])
    return Read(Or(tuple(either)) if len(either) > 1 else either[0], tuple(forms))


@lru_cache(maxsize=4096)
def closed_form(text: str) -> Form | None:
    """Parse a clause; None when it is none by itself."""
    try:
        found = grammar.condition(text)
    except grammar.Mistake:
        return None
    # What is joined within would bind otherwise among its neighbours.
    return None if isinstance(found, And | Or) else Form(found)


@lru_cache(maxsize=4096)
def open_form(before: str, unit: str) -> Form | None:
    """Parse a clause that ends in some number of a unit; None when it is none."""
    try:
        found, places = grammar.placed_condition(f"{before} 0 {unit}")
    except grammar.Mistake:
        return None
    of = _filling(found, lambda part: places[id(part)] == len(before) + 1)
    return of and Form(found, of)


def _filling(node: Expression, is_hole: Callable[[Expression], bool]) -> Any:
    """Return the function that makes the node anew with a number in its hole, if it has one."""
    if isinstance(node, Literal):
        unit = node.quantity.unit
        open_to_all = is_hole(node) and not isinstance(unit, Gauge)
        return (lambda n: Literal(Quantity(unit.to_si(n), unit))) if open_to_all else None
    if isinstance(node, Not):
        item = _filling(node.item, is_hole)
        return item and (lambda number: Not(item(number)))
    if isinstance(node, Arithmetic | Compare):
        kind, op, left, right = node.__class__, node.op, node.left, node.right
        fill = _filling(right, is_hole)
        if fill:
            return lambda number: kind(op, left, fill(number))
        fill = _filling(left, is_hole)
        return fill and (lambda number: kind(op, fill(number), right))
    return None
