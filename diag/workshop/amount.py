"""What a part is made of: quantities with a unit and a range, read off its class."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Annotated, Any, get_type_hints

OPEN_OHM = 1e7  # what an ohmmeter calls over range


class WorkshopError(ValueError):
    """Say in one sentence what is wrong with a part, a fault or an act."""


@dataclass(frozen=True, slots=True)
class Amount:
    """Hold the unit of a quantity, its least and most."""

    unit: str
    least: float
    most: float

    def mistake(self, name: str, value: object) -> str | None:
        """Give the sentence that refuses a value, or None.

        >>> Amount("ohm", 0.0, 5.0).mistake("cold resistance", 7.0)
        '`cold resistance` is 7 ohm: expected 0 ohm to 5 ohm'
        >>> Amount("1", 0.0, 1.0).mistake("wear", 0.5)
        """
        if not isinstance(value, (int, float)):
            kind = "a plain number" if self.unit == "1" else f"a number in {self.unit}"
            return f"`{name}` is `{value}`: expected {kind}"
        if self.least <= value <= self.most:
            return None
        given, least, most = (_written(x, self.unit) for x in (value, self.least, self.most))
        return f"`{name}` is {given}: expected {least} to {most}"


@dataclass(frozen=True, slots=True)
class WordKind:
    """Hold the words that a quantity may be, where it is a word and not a number."""

    words: tuple[str, ...]

    def mistake(self, name: str, value: object) -> str | None:
        """Give the sentence that refuses a word, or None.

        >>> WordKind(("flooded", "gel")).mistake("kind", "dry")
        '`kind` is `dry`: expected one of flooded, gel'
        """
        if value in self.words:
            return None
        return f"`{name}` is `{value}`: expected one of {', '.join(self.words)}"


def _written(value: float, unit: str) -> str:
    return f"{value:g}" if unit == "1" else f"{value:g} {unit}"


Ohm = Annotated[float, Amount("ohm", 0.0, OPEN_OHM)]
Share = Annotated[float, Amount("1", 0.0, 1.0)]
Celsius = Annotated[float, Amount("C", -50.0, 60.0)]
Kelvin = Annotated[float, Amount("K", -300.0, 300.0)]
Volts = Annotated[float, Amount("V", 0.0, 60.0)]
Amps = Annotated[float, Amount("A", 0.0, 500.0)]
Metres = Annotated[float, Amount("m", 0.0, 50.0)]
Millimetres = Annotated[float, Amount("mm", 0.2, 300.0)]
Litres = Annotated[float, Amount("l", 0.0, 500.0)]
Seconds = Annotated[float, Amount("s", 0.0, 3600.0)]
Times = Annotated[float, Amount("1", 0.0, 10.0)]


def _name(attribute: str, unit: str) -> str:
    """Turn an attribute into the quantity's name: its words without the unit.

    >>> _name("cold_resistance_ohm", "ohm")
    'cold resistance'
    """
    suffix = "_" + unit.lower().replace("/", "_per_").replace(" ", "_").removeprefix("1_")
    return attribute.removesuffix(suffix).replace("_", " ")


@dataclass(frozen=True, slots=True)
class AmountField:
    """Hold one quantity of a part: the attribute that keeps it and what it may be."""

    attribute: str
    takes: Amount | WordKind


def quantities(part: type[Any]) -> Mapping[str, AmountField]:
    """Give the quantities of a part's class by name."""
    hints = get_type_hints(part, include_extras=True)
    found = {}
    for each in fields(part):
        takes = hints[each.name].__metadata__[0]
        unit = takes.unit if isinstance(takes, Amount) else "1"
        found[_name(each.name, unit)] = AmountField(each.name, takes)
    return MappingProxyType(found)
