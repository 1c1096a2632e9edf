"""Amounts as people type them on a command line: `12,7 V`, `500 mA`, `0.5 % + 0.02 V`."""

from __future__ import annotations

from diag.model.amounts import LONGEST_SHOWN, NotAnAmount, amount, excerpt, meter_error
from diag.model.quantity import UNITS, plain_number

LONGEST = LONGEST_SHOWN
_WHAT = {
    "V": "a voltage",
    "A": "a current",
    "ohm": "a resistance",
    "m": "a length",
    "mm2": "an area",
    "mm": "a length",
    "C": "a temperature",
    "K": "a difference of temperature",
    "m/s": "an air speed",
    "Hz": "a rate",
    "s": "a time",
    "min": "a time",
    "h": "a time",
    "ml": "a volume",
    "l": "a volume",
    "l/h": "a flow",
    "kW": "a power",
    "hPa": "a pressure",
    "Ah": "a charge",
    "%": "a percentage",
    "ppm": "a concentration",
    "1": "a plain number",
}


def read_amount(name: str, text: str, unit: str) -> float:
    """Return a typed amount as a number in `unit`; a bare number is taken to be in that unit.

    Raises `ValueError` with one sentence that names what was wrong and what was expected.

    >>> read_amount("volts at rest", "12,7", "V"), read_amount("load current", "500 mA", "A")
    (12.7, 0.5)
    """
    expected = f"expected {_WHAT[unit]}, such as `{_EXAMPLES[unit]}`"
    given = text.strip()
    try:
        read = amount(given, UNITS[unit])
    except NotAnAmount as error:
        if len(given) > LONGEST:
            raise ValueError(f"`{name}` is {len(given)} characters long: {expected}") from None
        if error.why == "unit":
            said = error.message.replace("not a known unit of measure", "no unit that I know")
            raise ValueError(f"`{name}` is `{given}`: {said}, {expected}") from None
        if error.why in ("shape", "dimension"):
            raise ValueError(f"`{name}` is `{excerpt(given)}`: {expected}") from None
        raise ValueError(f"`{name}`: {error}") from None
    if read.over_range:
        raise ValueError(f"`{name}` is `{given}`, which no sum can be made of: {expected}")
    return read.into(UNITS[unit]).value


_EXAMPLES = {
    "V": "12.7 V", "A": "9.5 A", "ohm": "10 mohm", "m": "5 m", "mm2": "2.5 mm2", "mm": "60 mm",
    "C": "18 C", "K": "1 K", "m/s": "12.5 m/s", "Hz": "5 Hz", "s": "30 s", "min": "60 min",
    "h": "12 h", "ml": "2 ml", "l": "10 l", "l/h": "0.36 l/h", "kW": "2.3 kW", "hPa": "1013 hPa",
    "Ah": "100 Ah", "%": "5 %", "ppm": "35 ppm", "1": "100",
}  # fmt: skip


def read_error(name: str, text: str, unit: str, reading: float) -> float:
    """Return the half-width in `unit` that a meter's error means at a reading in `unit`.

    The error is written as meters' papers do: a part of the reading, a fixed part, or both.

    >>> round(read_error("voltmeter's error", "0,5 % + 0.02 V", "V", 12.0), 3)
    0.08
    """
    try:
        fraction, fixed = meter_error(text, UNITS[unit])
        return fraction * abs(reading) + (fixed.into(UNITS[unit]).value if fixed else 0.0)
    except ValueError:
        raise ValueError(
            f"`{name}` is `{text.strip()[:LONGEST]}`: expected a part of the reading, a fixed "
            f"part, or both, such as `1 % + {plain_number(0.02)} {unit}`"
        ) from None
