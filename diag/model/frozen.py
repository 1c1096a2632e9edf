"""Frozen data, made cheaply: a command makes a hundred such classes before its first line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from operator import attrgetter
from typing import Any, TypeVar, dataclass_transform

Made = TypeVar("Made")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[Made]) -> type[Made]:
    """Make a dataclass that compares and hashes by its fields and may not be changed.

    The type checker forbids the change, not the running program: to forbid it there costs more
    than all else that it takes to make a node of a condition. The standard library also compiles
    the text of each method anew for each class, which takes ten times as long as this; only the
    making of an instance is worth it, and only once there is one.
    """
    own = frozenset(cls.__dict__)
    made: Any = dataclass(init=False, slots=True, eq=False, repr=False)(cls)
    names = tuple(each.name for each in fields(made) if each.compare)
    held = attrgetter(*names) if names else lambda _: ()

    def equal(self: Any, other: object) -> Any:
        return held(self) == held(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: Any) -> int:
        return hash(held(self))

    def first(self: Any, *values: Any, **named: Any) -> None:
        made.__init__ = _init_of(made)
        made.__init__(self, *values, **named)

    methods = {"__init__": first, "__eq__": equal, "__hash__": hashed, "__repr__": _written}
    for name, method in methods.items():
        if name not in own:
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _init_of(made: type[Any]) -> Callable[..., None]:
    """Return the `__init__` that the standard library writes for the fields of a class."""
    held: dict[str, Any] = {each.name: each for each in fields(made)}
    if after := getattr(made, "__post_init__", None):
        held["__post_init__"] = after
    held["__annotations__"] = {each.name: each.type for each in fields(made)}
    held["__module__"], held["__doc__"] = made.__module__, made.__doc__
    twin: Any = type(made.__name__, (), held)
    init: Callable[..., None] = dataclass(eq=False, repr=False, match_args=False)(twin).__init__
    return init


def _written(self: Any) -> str:
    """Write an instance as the call that makes it."""
    shown = (f"{each.name}={getattr(self, each.name)!r}" for each in fields(self) if each.repr)
    return f"{self.__class__.__qualname__}({', '.join(shown)})"
