"""What each name in an expression is, and whether the expression makes sense of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Condition,
    Is,
    Known,
    Literal,
    Not,
    Or,
    Ref,
    Term,
    UnitRef,
)
from diag.model.quantity import NUMBER, POINT, UNITS, Dimension, Unit
from diag.rulebook.grammar import Mistake
from diag.rulebook.scalars import nearest, noun, noun_in

DIFFERENCE = UNITS["K"].dimension
Type = Unit | tuple[str, ...]
"""A unit for what has a value, the states for what has states."""


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Names:
    """Every finding, sign and figure, and every datum of a unit, with its type."""

    types: Mapping[str, Type]
    data: Mapping[str, Unit]

    def check(self, node: Condition) -> None:
        """Raise `Mistake` for the first thing in a condition that cannot be."""
        kind = node.__class__
        if kind is Compare:
            self._compare(node)  # type: ignore[arg-type]
        elif kind is Is:
            self._states(node)  # type: ignore[arg-type]
        elif kind is And or kind is Or:
            for item in node.items:  # type: ignore[union-attr]
                self.check(item)
        elif isinstance(node, Known):
            self._type(node.name, node.at + len("known("))
        else:
            assert isinstance(node, Not)
            self.check(node.item)

    def dimension(self, node: Term) -> Dimension:
        """Return the dimension of a sum; raises `Mistake`."""
        kind = node.__class__
        if kind is Literal:
            return node.quantity.unit.dimension  # type: ignore[union-attr]
        if kind is Ref:
            found = self.types.get(node.name) or self._type(node.name, node.at)  # type: ignore[union-attr]
            if found.__class__ is tuple:
                advice = f"write `{node.name} is {found[0]}`"  # type: ignore[union-attr]
                message = f"`{node.name}` has states, not a value"  # type: ignore[union-attr]
                raise Mistake(node.at, len(node.name), message, advice)  # type: ignore[union-attr]
            return found.dimension  # type: ignore[union-attr]
        if kind is UnitRef:
            datum = self.data.get(node.name)  # type: ignore[union-attr]
            if datum is None:
                message = f"there is no unit datum `{node.name}`"  # type: ignore[union-attr]
                near = nearest(node.name, self.data)  # type: ignore[union-attr]
                raise Mistake(node.at, len(node.name), message, near)  # type: ignore[union-attr]
            return datum.dimension
        assert isinstance(node, Arithmetic)
        return self._arithmetic(node)

    def _type(self, name: str, at: int) -> Type:
        if name not in self.types:
            message = f"there is no finding, sign or figure `{name}`"
            raise Mistake(at, len(name), message, nearest(name, self.types))
        return self.types[name]

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
            raise Mistake(blamed.at, _width(blamed), message, advice)

    def _states(self, node: Is) -> None:
        states = self.types.get(node.name) or self._type(node.name, node.at)
        if states.__class__ is not tuple:
            advice = "compare it with a number"
            message = f"`{node.name}` has a value, not states"
            raise Mistake(node.at, len(node.name), message, advice)
        for state in node.states:
            if state not in states:
                message = f"`{node.name}` has no state `{state}`"
                advice = nearest(state, states)
                raise Mistake(node.at, len(node.name), message, advice)

    def _arithmetic(self, node: Arithmetic) -> Dimension:
        left, right = self.dimension(node.left), self.dimension(node.right)
        if node.op in "*/":
            if left.point or right.point:
                advice = "take the difference of two temperatures first"
                message = f"a temperature cannot stand beside `{node.op}`"
                raise Mistake(node.at, _width(node.left), message, advice)
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
        raise Mistake(node.at, _width(node.left), message, _advice(left, right))


def _advice(left: Dimension, right: Dimension) -> str:
    """Say the usual way out of two dimensions that do not fit."""
    if {left, right} == {POINT, DIFFERENCE}:
        return "write a difference of temperatures in K and a temperature in C or F"
    if NUMBER in (left, right):
        return "give the number its unit"
    return "look at the units"


def _width(node: Term) -> int:
    if isinstance(node, Ref):
        return len(node.name)
    if isinstance(node, UnitRef):
        return len("unit ") + len(node.name)
    return len(str(node.quantity)) if isinstance(node, Literal) else 1
