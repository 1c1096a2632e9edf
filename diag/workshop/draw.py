"""Units drawn from a class: each number scatters about the class's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from random import Random
from typing import Any

from diag.model.frozen import frozen
from diag.model.origin import Origin
from diag.workshop.amount import WorkshopError
from diag.workshop.heater import PARTS, QUANTITIES, Heater


@frozen
class Number:
    """Hold a number of a sound unit, by what share of itself units scatter about it, its origin."""

    value: Any
    scatter: float
    origin: Origin


ClassNumbers = Mapping[str, Mapping[str, Number]]
"""The numbers of a class of units, by part and quantity."""


def _drawn(number: Number, random: Random | None) -> Any:
    """Draw one number, even over its scatter; without a draw it is the class's own."""
    if random is None or number.scatter == 0.0:
        return number.value
    return number.value * random.uniform(1.0 - number.scatter, 1.0 + number.scatter)


def heater_of(numbers: ClassNumbers, random: Random | None = None) -> Heater:
    """Make a unit of a class; with a random source its numbers scatter as units do.

    Raises `WorkshopError` for a part or quantity that is missing, or a number out of range.
    """
    made = {}
    for name, part in PARTS.items():
        if name not in numbers:
            raise WorkshopError(f"the numbers of `{name}` are missing: give them all")
        values = {}
        for quantity, field in QUANTITIES[name].items():
            number = numbers[name].get(quantity)
            if number is None:
                raise WorkshopError(f"`{name} {quantity}` is missing: give its number")
            value = _drawn(number, random)
            if not isinstance(value, str) and hasattr(field.takes, "most"):
                value = min(value, field.takes.most)
            mistake = field.takes.mistake(f"{name} {quantity}", value)
            if mistake is not None:
                raise WorkshopError(mistake)
            values[field.attribute] = value
        made[name.replace(" ", "_")] = part(**values)
    return Heater(**made)


def left_overnight(heater: Heater, celsius: float) -> Heater:
    """Give the unit after a night at a temperature (C): weather, cabin, battery and fuel have it.

    >>> left_overnight(small, -10.0).fuel.temperature_c
    -10.0
    """
    return replace(
        heater,
        weather=replace(heater.weather, temperature_c=celsius),
        cabin=replace(heater.cabin, temperature_c=celsius),
        battery=replace(heater.battery, temperature_c=celsius),
        fuel=replace(heater.fuel, temperature_c=celsius),
    )
