"""A named computation that rule files may call by its plain name."""

from collections.abc import Callable

from diag.model.frozen import frozen


@frozen
class Formula:
    """Name one computation, the quantities that it takes, and where it comes from.

    `inputs` pairs each input's plain name with its unit symbol, in the order in which
    `compute` takes them; `unit` is the unit symbol of the result. `compute` raises
    `ValueError` when an input cannot be true.

    >>> area = Formula(
    ...     name="area of a rectangle",
    ...     inputs=(("length", "m"), ("width", "m")),
    ...     unit="m2",
    ...     compute=lambda length, width: length * width,
    ...     source="geometry",
    ...     explains="The area is the length times the width.",
    ... )
    >>> area.compute(3.0, 2.0)
    6.0
    """

    name: str
    inputs: tuple[tuple[str, str], ...]
    unit: str
    compute: Callable[..., float]
    source: str
    explains: str
