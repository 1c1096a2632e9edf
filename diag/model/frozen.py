"""Frozen data, made cheaply: a command makes a hundred such classes before its first line."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform

Made = TypeVar("Made")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[Made]) -> type[Made]:
    """Make a dataclass that compares and hashes by its fields and may not be changed.

    The type checker forbids the change, not the running program: to forbid it there costs more
    than all else that it takes to make a node of a condition. The standard library also compiles
    the text of each method anew for each class, which takes four times as long as this; only the
    making of an instance is worth it.
    """
    own = frozenset(cls.__dict__)
    made: Any = dataclass(slots=True, eq=False, repr=False)(cls)
    names = tuple(each.name for each in fields(made) if each.compare)
    held = attrgetter(*names) if names else lambda _: ()

    def equal(self: Any, other: object) -> Any:
        return held(self) == held(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: Any) -> int:
        return hash(held(self))

    for name, method in (("__eq__", equal), ("__hash__", hashed), ("__repr__", _written)):
        if name not in own:
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _written(self: Any) -> str:
    """Write an instance as the call that makes it."""
    shown = (f"{each.name}={getattr(self, each.name)!r}" for each in fields(self) if each.repr)
    return f"{self.__class__.__qualname__}({', '.join(shown)})"
