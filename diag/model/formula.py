"""A computation offered to rule files by a plain name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Formula:
    """A named computation: inputs and result in the stated units.

    `compute` takes positional floats in the order and units of `inputs` and returns a float in
    `unit`; it may raise `ValueError` with one sentence when the inputs cannot be true together.
    """

    name: str
    inputs: tuple[tuple[str, str], ...]
    unit: str
    compute: Callable[..., float]
    source: str
    explains: str
