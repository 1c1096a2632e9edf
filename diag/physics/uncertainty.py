"""How the errors of readings carry into a result, and what that leaves of a verdict."""

from collections.abc import Callable, Sequence
from math import hypot, sqrt
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, between, finite

MarginVerdict = Literal["clear yes", "clear no", "cannot tell"]
STEP = 6e-6  # about the cube root of the float spacing, best for central differences


@frozen
class Budget:
    """Hold a result, its error, and each input's part of the error in the result's unit.

    `worst` is the place of the input that contributes most, or nothing when no input errs.
    """

    value: float
    error: float
    contributions: tuple[float, ...]
    worst: int | None


def slope(function: Callable[..., float], values: Sequence[float], place: int) -> float:
    """Give the partial derivative of a function at its values, for the input at a place.

    Central difference; at the edge of what the function accepts, one-sided. Source: numerical
    differentiation. Raises `PhysicsError` if the function accepts the values on neither side.

    >>> round(slope(lambda u, i: u / i, (12.0, 4.0), 1), 6)
    -0.75
    """
    step = STEP * max(abs(values[place]), 1e-3)

    def moved(by: float) -> float:
        return function(*values[:place], values[place] + by, *values[place + 1 :])

    sides: list[tuple[float, float]] = []
    for by in (step, -step):
        try:
            sides.append((by, moved(by)))
        except PhysicsError:
            continue
    if len(sides) == 1:
        sides.append((0.0, moved(0.0)))
    if not sides:
        raise PhysicsError(
            f"`input {place + 1}` is {values[place]:g}: expected room for an error on one side"
        )
    (by_a, value_a), (by_b, value_b) = sides
    return (value_a - value_b) / (by_a - by_b)


def error_budget(
    function: Callable[..., float],
    values: Sequence[float],
    errors: Sequence[float],
    meters: Sequence[str] = (),
) -> Budget:
    """Carry the errors of a function's inputs into its result, to first order.

    Values and errors in the inputs' units, one error each, independent of each other; but
    inputs that share a name in `meters` err together, all one way. Source: root sum of squares
    of partial derivative times error (GUM, JCGM 100:2008, 5.1.2), and the plain sum where inputs
    are fully correlated (5.2.2 note 1). Raises `PhysicsError` for a negative error, lengths that
    differ, or values that the function refuses.

    >>> budget = error_budget(lambda u, i: u / i, (12.0, 4.0), (0.12, 0.2))
    >>> round(budget.value, 3), round(budget.error, 4), budget.worst
    (3.0, 0.153, 1)
    """
    if len(values) != len(errors):
        raise PhysicsError(
            f"`errors` are {len(errors)}: expected {len(values)}, one for each value"
        )
    for place, error in enumerate(errors, start=1):
        between(f"error of input {place}", error, "1", least=0.0, most=1e12)
    signed = [
        slope(function, values, place) * error if error else 0.0
        for place, error in enumerate(errors)
    ]
    of = tuple(meters) or tuple(str(place) for place in range(len(errors)))
    together = {
        meter: sum(p for p, m in zip(signed, of, strict=True) if m == meter) for meter in of
    }
    total = hypot(*together.values())
    # An input's part in the square of the error; one that takes from it has none.
    parts = tuple(
        sqrt(max(0.0, part * together[meter])) for part, meter in zip(signed, of, strict=True)
    )
    worst = max(range(len(parts)), key=parts.__getitem__) if total > 0 else None
    return Budget(function(*values), total, parts, worst)


def propagate(
    function: Callable[..., float], values: Sequence[float], errors: Sequence[float]
) -> tuple[float, float]:
    """Give a function's result and its error from values and independent errors.

    Source: as for `error_budget`. Raises `PhysicsError` as it does.

    >>> value, error = propagate(lambda a, b: a + b, (1.0, 2.0), (0.3, 0.4))
    >>> value, round(error, 6)
    (3.0, 0.5)
    """
    budget = error_budget(function, values, errors)
    return budget.value, budget.error


def instrument_error(
    reading: float, percent: float, digits: float = 0.0, resolution: float = 0.0
) -> float:
    """Give a meter's error, in the reading's unit: percent of reading plus digits of resolution.

    Source: the usual form of a meter's data sheet. Raises `PhysicsError` for negative percent,
    digits or resolution, or a percent above 100.

    >>> round(instrument_error(12.6, 0.5, digits=2, resolution=0.01), 3)
    0.083
    """
    finite("reading", reading, "its unit")
    between("percent of reading", percent, "%", least=0.0, most=100.0)
    between("digits", digits, "1", least=0.0, most=1000.0)
    between("resolution", resolution, "1", least=0.0, most=1e6)
    return abs(reading) * percent / 100 + digits * resolution


def margin_verdict(margin: float, error: float) -> MarginVerdict:
    """Say whether a margin (0 or more passes) is clear of its error, in the same unit.

    Source: a verdict inside its error is none. Raises `PhysicsError` for a negative error.

    >>> margin_verdict(0.3, 0.1), margin_verdict(-0.3, 0.1), margin_verdict(0.05, 0.1)
    ('clear yes', 'clear no', 'cannot tell')
    """
    finite("margin", margin, "the unit of its error")
    between("error of the margin", error, "1", least=0.0, most=1e12)
    if abs(margin) < error:
        return "cannot tell"
    return "clear yes" if margin >= 0 else "clear no"
