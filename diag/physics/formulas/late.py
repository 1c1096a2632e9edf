"""Modules that are imported only once something in them is called."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any


class Late:
    """Stand for a module of `diag.physics` until one of its functions is called.

    A rulebook names every computation and a session calls few of them, so that most modules
    need not be imported at the start.

    >>> Late("combustion.fuel").hours_per_tank(10.0, 0.5)
    20.0
    """

    def __init__(self, module: str) -> None:
        self._module = f"diag.physics.{module}"

    def __getattr__(self, name: str) -> Callable[..., Any]:
        """Return a function that calls the one of this name; `AttributeError` when it is called."""
        module = self._module

        def call(*inputs: float | str) -> Any:
            return getattr(import_module(module), name)(*inputs)

        return call
