"""Measurements with their meters' errors, the figures derived from them, and judgements."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import floor, log10

from diag.model.frozen import frozen
from diag.model.quantity import plain_number
from diag.physics.uncertainty import error_budget, margin_verdict


@frozen
class Measurement:
    """A value and the half-width of what it may be out by, in its unit."""

    name: str
    value: float
    error: float
    unit: str
    error_assumed: bool = True
    again: str = ""


@frozen
class DerivedFigure:
    """A number made from measurements: its error, its sum with the numbers, whose formula it is.

    `shares` is each measurement's part in the square of the error, greatest first.
    """

    name: str
    value: float
    error: float
    unit: str
    formula: str
    source: str
    shares: tuple[tuple[str, float], ...] = ()

    def measurement(self, again: str = "") -> Measurement:
        """Return the figure as a measurement for the next sum."""
        return Measurement(self.name, self.value, self.error, self.unit, again=again)


@frozen
class Judgement:
    """What is said about one thing: verdict, sentence, and the measurement that blurs it most."""

    about: str
    verdict: str
    sentence: str
    weakest: str | None = None


def rounded(value: float, error: float, unit: str) -> str:
    """Write a value as finely as its error allows.

    >>> rounded(2.3571, 0.131, "kW"), rounded(0.0798, 0.0, "ohm")
    ('2.36 kW +- 0.13', '0.0798 ohm')
    """
    symbol = "" if unit == "1" else f" {unit}"
    if error <= 0:
        return f"{plain_number(float(f'{value:.4g}'))}{symbol}"
    places = min(4, max(0, 1 - floor(log10(error))))
    return f"{value:.{places}f}{symbol} +- {error:.{places}f}"


def derive(
    name: str,
    unit: str,
    compute: Callable[..., float],
    readings: Sequence[Measurement],
    *,
    formula: str = "",
    source: str = "",
) -> DerivedFigure:
    """Derive a figure from measurements and carry their errors to first order (JCGM 100:2008).

    Raises `ValueError` for what `compute` refuses.

    >>> ohm = derive("resistance", "ohm", lambda v, a: v / a, (
    ...     Measurement("drop", 0.8, 0.08, "V"), Measurement("current", 10.0, 0.0, "A")))
    >>> round(ohm.value, 3), round(ohm.error, 4)
    (0.08, 0.008)
    """
    values = [r.value for r in readings]
    compute(*values)  # so that a value that cannot be is refused in the formula's own words
    budget = error_budget(compute, values, [r.error for r in readings])
    shares = []
    if budget.error > 0:
        for reading, part in zip(readings, budget.contributions, strict=True):
            shares.append((reading.name, (part / budget.error) ** 2))
    ranked = tuple(sorted((s for s in shares if s[1] > 0), key=lambda share: -round(share[1], 9)))
    return DerivedFigure(name, budget.value, budget.error, unit, formula, source, ranked)


def judge(margin: DerivedFigure) -> str:
    """Return `clear yes`, `clear no`, or `cannot tell` when the margin is inside its error."""
    return margin_verdict(margin.value, margin.error)


def weakest(of: DerivedFigure) -> str | None:
    """Return the name of the reading that blurs a figure most."""
    return of.shares[0][0] if of.shares else None


def improve(of: DerivedFigure, readings: Sequence[Measurement]) -> str:
    """Say which reading to improve, and how.

    >>> blurred = DerivedFigure("drop", 1.0, 0.1, "V", "", "", (("volts", 1.0),))
    >>> improve(blurred, [Measurement("volts", 1.0, 0.1, "V", again="with a finer range")])
    'take `volts` again, with a finer range'
    """
    name = weakest(of)
    again = next((r.again for r in readings if r.name == name and r.again), "more carefully")
    return f"take `{name}` again, {again}"
