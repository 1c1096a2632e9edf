"""Frozen data of which a rule file makes many."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar, dataclass_transform

Made = TypeVar("Made")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(made: type[Made]) -> type[Made]:
    """Make a dataclass that compares and hashes by its fields and may not be changed.

    The type checker forbids the change, not the running program: to forbid it there costs more
    than all else that it takes to make a node of a condition.
    """
    return dataclass(slots=True, unsafe_hash=True)(made)
