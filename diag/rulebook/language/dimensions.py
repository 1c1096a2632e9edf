"""What each name in an expression is, and whether the expression makes sense of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from diag.model.amounts import noun, noun_in
from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Condition,
    Expression,
    Is,
    Known,
    Literal,
    Or,
    Ref,
    Term,
    UnitRef,
)
from diag.model.quantity import DIMENSIONLESS, POINT, UNITS, Dimension, Unit
from diag.rulebook.language.grammar import Mistake, Places
from diag.rulebook.yaml.scalars import nearest

DIFFERENCE = UNITS["K"].dimension
Type = Unit | tuple[str, ...]
"""A unit for what has a value, the states for what has states."""
Node = TypeVar("Node", bound=Expression)


class TypeMismatch(ValueError):
    """What cannot be in an expression, by the part of it that is to blame."""

    def __init__(self, part: Expression, message: str, advice: str) -> None:
        super().__init__(message)
        self.part = part
        self.message = message
        self.advice = advice

    def at(self, places: Places) -> Mistake:
        """Return the mistake at its place."""
        at, width = places[id(self.part)], _width(self.part)
        if isinstance(self.part, Known):
            at += len("known(")
        return Mistake(at, width, self.message, self.advice)


def mistake_in(placed: tuple[Node, Places], check: Callable[[Node], object]) -> Mistake | None:
    """Return the first thing that cannot be in an expression as parsed, with its place."""
    node, places = placed
    try:
        check(node)
    except TypeMismatch as misfit:
        return misfit.at(places)
    return None


@dataclass(slots=True, eq=False, repr=False)
class Names:
    """Every finding, sign and figure, and every datum of a unit, with its type."""

    types: Mapping[str, Type]
    data: Mapping[str, Unit]

    def check(self, node: Condition) -> None:
        """Raise `TypeMismatch` for the first thing in a condition that cannot be."""
        if isinstance(node, Compare):
            self._compare(node)
        elif isinstance(node, Is):
            self._states(node)
        elif isinstance(node, And | Or):
            for item in node.items:
                self.check(item)
        elif isinstance(node, Known):
            self._type(node)
        else:
            self.check(node.item)

    def dimension(self, node: Term) -> Dimension:
        """Return the dimension of a sum; raises `TypeMismatch`."""
        if isinstance(node, Literal):
            return node.quantity.dimension
        if isinstance(node, Ref):
            found = self._type(node)
            if isinstance(found, tuple):
                advice = f"write `{node.name} is {found[0]}`"
                raise TypeMismatch(node, f"`{node.name}` has states, not a value", advice)
            return found.dimension
        if isinstance(node, UnitRef):
            if node.name not in self.data:
                near = nearest(node.name, self.data)
                raise TypeMismatch(node, f"there is no unit datum `{node.name}`", near)
            return self.data[node.name].dimension
        return self._arithmetic(node)

    def _type(self, node: Ref | Is | Known) -> Type:
        if node.name not in self.types:
            message = f"there is no finding, sign or figure `{node.name}`"
            raise TypeMismatch(node, message, nearest(node.name, self.types))
        return self.types[node.name]

    def _compare(self, node: Compare) -> None:
        left, right = self.dimension(node.left), self.dimension(node.right)
        if left != right:
            blamed = node.right
            advice = _advice(left, right)
            if isinstance(node.right, Literal):
                message = f"`{node.right.quantity}` is {noun(right)}; {noun_in(left)} is expected"
            else:
                blamed = node.left
                message = f"{noun(left)} cannot be compared with {noun(right)}"
            raise TypeMismatch(blamed, message, advice)

    def _states(self, node: Is) -> None:
        states = self._type(node)
        if not isinstance(states, tuple):
            message = f"`{node.name}` has a value, not states"
            raise TypeMismatch(node, message, "compare it with a number")
        for state in node.states:
            if state not in states:
                message = f"`{node.name}` has no state `{state}`"
                raise TypeMismatch(node, message, nearest(state, states))

    def _arithmetic(self, node: Arithmetic) -> Dimension:
        left, right = self.dimension(node.left), self.dimension(node.right)
        if node.op in "*/":
            if left.point or right.point:
                advice = "take the difference of two temperatures first"
                message = f"a temperature cannot stand beside `{node.op}`"
                raise TypeMismatch(node.left, message, advice)
            return left.times(right) if node.op == "*" else left.over(right)
        if left.point or right.point:
            if left.point and right.point and node.op == "-":
                return DIFFERENCE
            if left.point and right == DIFFERENCE:
                return POINT
            if right.point and left == DIFFERENCE and node.op == "+":
                return POINT
        elif left == right:
            return left
        word = "added to" if node.op == "+" else "taken from"
        one, other = (left, right) if node.op == "+" else (right, left)
        message = f"{noun(one)} cannot be {word} {noun(other)}"
        raise TypeMismatch(node.left, message, _advice(left, right))


def _advice(left: Dimension, right: Dimension) -> str:
    """Say the usual way out of two dimensions that do not fit."""
    if {left, right} == {POINT, DIFFERENCE}:
        return "write a difference of temperatures in K and a temperature in C or F"
    if DIMENSIONLESS in (left, right):
        return "give the number its unit"
    return "look at the units"


def _width(node: Expression) -> int:
    if isinstance(node, Ref | Is | Known):
        return len(node.name)
    if isinstance(node, UnitRef):
        return len("unit ") + len(node.name)
    return len(str(node.quantity)) if isinstance(node, Literal) else 1
