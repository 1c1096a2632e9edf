"""Thresholds: limits that stand once, named in conditions and sums, and read by others too."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from diag.model.amounts import excerpt
from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Expression,
    Not,
    Or,
    Ref,
    Term,
)
from diag.model.quantity import Quantity
from diag.model.threshold import Threshold
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.gather import Gathered
from diag.rulebook.yaml.scalars import in_dimension, nearest

KIND = "thresholds"
Made = TypeVar("Made", bound=Expression)


def thresholds(gathered: Gathered) -> dict[str, Threshold]:
    """Build every threshold that could be read, in order of id."""
    entries = sorted(gathered.of(KIND).items())
    return {name: _threshold(entry) for name, entry in entries if entry.sound}


def _threshold(entry: Entry) -> Threshold:
    values = entry.values
    if entry.origin is None:
        message = "the numbers here do not say where they come from"
        entry.source.refuse(entry.key, message, "add a line `source: ...`")
    return Threshold(
        entry.id,
        values["value"],
        values.get("proportional to", {}),
        values.get("title", ""),
        entry.origin,
        entry.place,
    )


def check_data(gathered: Gathered) -> None:
    """Note what a threshold is proportional to that is no datum of a unit, or of another kind."""
    data = gathered.of("unit data")
    for entry in gathered.of(KIND).values():
        scaled: dict[str, Quantity] = entry.values.get("proportional to", {})
        for name, at in scaled.items():
            if name not in data:
                message = f"there is no unit datum `{excerpt(name)}`"
                key = entry.key_at("proportional to", name)
                entry.source.refuse(key, message, nearest(name, data))
            elif "unit" in data[name].values:
                try:
                    in_dimension(at, data[name].values["unit"])
                    wrong = "" if at.si > 0 else "a value above 0 is expected"
                except ValueError as error:
                    wrong = str(error)
                if wrong:
                    node = entry.at("proportional to", name)
                    entry.source.refuse(node, wrong, "give the value its unit")


def inlined(node: Made, known: Mapping[str, Term]) -> Made:
    """Return an expression with the names of thresholds replaced by their sums."""
    return _inlined(node, known) if known else node  # type: ignore[return-value]


def _inlined(node: Expression, known: Mapping[str, Term]) -> Expression:
    if isinstance(node, Ref):
        return known.get(node.name, node)
    if isinstance(node, Arithmetic | Compare):
        left, right = _inlined(node.left, known), _inlined(node.right, known)
        if left is node.left and right is node.right:
            return node
        return type(node)(node.op, left, right)  # type: ignore[arg-type]
    if isinstance(node, And | Or):
        items = tuple(_inlined(item, known) for item in node.items)
        unchanged = all(one is other for one, other in zip(items, node.items, strict=True))
        return node if unchanged else type(node)(items)  # type: ignore[arg-type]
    if isinstance(node, Not):
        item = _inlined(node.item, known)
        return node if item is node.item else Not(item)  # type: ignore[arg-type]
    return node
