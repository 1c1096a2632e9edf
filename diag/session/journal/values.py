"""A value of a reading as plain data, and back, exact."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import Any

from diag.model.quantity import OVER_RANGE, SPELLINGS, Quantity
from diag.model.rulebook import Value


def value_as_data(value: Value) -> Any:
    """Turn a value into plain data: a state, or number, unit and error, all exact.

    What is over range has that for its number, as JSON knows no infinity.
    """
    if isinstance(value, Quantity):
        number = OVER_RANGE if value.over_range else value.si
        return {"si": number, "unit": value.unit.symbol, "error": value.error}
    return value


def value_from_data(data: Any) -> Value:
    """Turn plain data back into the value it was made from."""
    if isinstance(data, Mapping):
        number = inf if data["si"] == OVER_RANGE else float(data["si"])
        return Quantity(number, SPELLINGS[str(data["unit"])], float(data["error"]))
    if not isinstance(data, str):
        raise TypeError("a value is a text, or a number with its unit")
    return data
