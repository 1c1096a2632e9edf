"""Conditions read by their clauses, each form of which is parsed and checked once.

A rulebook says the same few things of many numbers. So a condition is cut at its `and` and `or`,
and a clause is known by its form: its words around its last number. What cannot be read so is
left to the parser as a whole, which also says what is wrong.
"""

from __future__ import annotations

import re
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
    walk,
)
from diag.model.quantity import Quantity
from diag.rulebook import grammar

_LAST_NUMBER = re.compile(r"(.*[-+*/<>=] )(-?\d{1,15}(?:\.\d{1,15})?)((?: .*)?)").fullmatch
"""Cuts a clause at the last number that is an operand by itself, and too short to be infinite."""


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """What clauses have in common that differ in one number at most."""

    condition: Condition
    """The clause, with 0 for the number."""
    of: Callable[[float], Condition]
    """Makes the clause of a number; a form without one is never asked."""


class Read(NamedTuple):
    """A condition as read, and the forms of its clauses."""

    condition: Condition
    forms: tuple[Form, ...]


def condition(text: str) -> Read:
    """Read a condition; raises `Mistake`.

    >>> condition("volts < 5 V or lamp is lit").forms == condition("volts < 6 V or lamp is lit").forms
    True
    """
    # What has no more characters than the parser takes tokens is never too long for it.
    read = _by_clauses(text) if len(text) <= grammar.LONGEST else None
    if read is None:
        whole = grammar.condition(text)
        read = Read(whole, (Form(whole, _no_number),))
    return read


def _by_clauses(text: str) -> Read | None:
    """Read what `and` and `or` join; None when a clause makes no sense by itself."""
    forms: list[Form] = []
    either: list[Condition] = []
    for part in text.split(" or "):
        both: list[Condition] = []
        for clause in part.split(" and "):
            cut = _LAST_NUMBER(clause)
            form = _form(cut[1], cut[3]) if cut else _form(clause)
            if form is None:
                return None
            forms.append(form)
            both.append(form.of(float(cut[2])) if cut else form.condition)
        either.append(And(tuple(both)) if len(both) > 1 else both[0])
    return Read(Or(tuple(either)) if len(either) > 1 else either[0], tuple(forms))


@lru_cache(maxsize=4096)
def _form(before: str, after: str | None = None) -> Form | None:
    """Parse the form of a clause; None when it is none."""
    text = before if after is None else f"{before}0{after}"
    try:
        found, places = grammar.placed_condition(text)
    except grammar.Mistake:
        return None
    if isinstance(found, And | Or):
        return None  # joined within, it would bind otherwise among its neighbours
    if after is None:
        return Form(found, _no_number)
    of = _filling(found, lambda part: places[id(part)] == len(before))
    return of and Form(found, of)


def _no_number(number: float) -> Condition:
    raise ValueError(f"this form has no place for {number}")


def _filling(node: Expression, is_hole: Callable[[Expression], bool]) -> Any:
    """Return the function that makes the node anew with a number in its hole, if it has one."""
    if isinstance(node, Literal):
        unit = node.quantity.unit
        return (lambda n: Literal(Quantity(unit.to_si(n), unit))) if is_hole(node) else None
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
