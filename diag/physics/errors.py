"""The refusal of a number that cannot be true, and the guards that word it."""

from collections.abc import Iterable
from math import isfinite

ABSOLUTE_ZERO_C = -273.15


class PhysicsError(ValueError):
    """Say in one sentence which value is wrong, what was given and what was expected."""


def quantity(value: float, unit: str) -> str:
    """Write a number with its unit symbol; `1` stands for no unit.

    >>> quantity(12.5, "V"), quantity(7.0, "1")
    ('12.5 V', '7')
    """
    return f"{value:g}" if unit == "1" else f"{value:g} {unit}"


def finite(name: str, value: float | None, unit: str) -> float:
    """Give the value back if it is a finite number; raise `PhysicsError` if it is not.

    >>> finite("current", 3.0, "A")
    3.0
    """
    if value is None:
        raise PhysicsError(f"`{name}` is missing: give a number in {unit}")
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        raise PhysicsError(f"`{name}` is `{value}`: expected a plain number in {unit}")
    return float(value)


def above(name: str, value: float | None, unit: str, most: float, floor: float = 0.0) -> float:
    """Give the value back if floor < value <= most; raise `PhysicsError` if not.

    >>> above("bore", 60.0, "mm", most=1000.0)
    60.0
    """
    checked = finite(name, value, unit)
    if floor < checked <= most:
        return checked
    given, low, high = (quantity(each, unit) for each in (checked, floor, most))
    raise PhysicsError(f"`{name}` is {given}: expected above {low} and at most {high}")


def between(name: str, value: float | None, unit: str, least: float, most: float) -> float:
    """Give the value back if least <= value <= most; raise `PhysicsError` if not.

    >>> between("oxygen", 10.0, "%", least=0.0, most=100.0)
    10.0
    """
    checked = finite(name, value, unit)
    if least <= checked <= most:
        return checked
    given, low, high = (quantity(each, unit) for each in (checked, least, most))
    raise PhysicsError(f"`{name}` is {given}: expected {low} to {high}")


def celsius(
    name: str, value: float | None, least: float = ABSOLUTE_ZERO_C, most: float = 1500.0
) -> float:
    """Give a temperature in C back if it lies within the limits; raise `PhysicsError` if not.

    >>> celsius("outlet temperature", 105.0)
    105.0
    """
    checked = finite(name, value, "C")
    if checked <= ABSOLUTE_ZERO_C:
        raise PhysicsError(
            f"`{name}` is {checked:g} C: expected a temperature above absolute zero, "
            f"{ABSOLUTE_ZERO_C:g} C"
        )
    return between(name, checked, "C", least, most)


def one_of(name: str, value: str, choices: Iterable[str]) -> None:
    """Raise `PhysicsError` unless the word is one of the choices.

    >>> one_of("chemistry", "gel", ("flooded", "gel"))
    """
    known = tuple(choices)
    if value not in known:
        raise PhysicsError(f"`{name}` is `{value}`: expected one of {', '.join(known)}")
