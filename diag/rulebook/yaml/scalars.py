"""Raw scalar text to values, each typed by what its key expects; `ValueError` says why not."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from diag.model.quantity import NUMBER, SPELLINGS, UNITS, Dimension, Quantity, Unit, quantity
from diag.model.rulebook import Origin

_NUMBER = re.compile(r"([-+]?\d+(?:\.\d+)?)\s*(.*)", re.DOTALL)
_NOUNS: dict[str, str] = {
    "1": "a number",
    "V": "a voltage",
    "A": "a current",
    "W": "a power",
    "ohm": "a resistance",
    "C": "a temperature",
    "K": "a temperature difference",
    "m": "a length",
    "mm2": "an area",
    "l": "a volume",
    "g": "a mass",
    "s": "a time",
    "Hz": "a rate",
    "Pa": "a pressure",
    "m/s": "a speed",
    "l/h": "a flow",
    "mg/m3": "a density",
    "Ah": "a charge",
    "Wh": "an energy",
    "MJ/kg": "an energy per mass",
    "kg/s": "a mass flow",
}
_NOUN_OF = {UNITS[symbol].dimension: noun for symbol, noun in _NOUNS.items()}
_SYMBOL_OF = {UNITS[symbol].dimension: symbol for symbol in _NOUNS}
ORIGINS: tuple[Literal["published", "common practice", "memory", "invented"], ...] = (
    "published",
    "common practice",
    "memory",
    "invented",
)
LONGEST_SHOWN = 40


def noun(dimension: Dimension) -> str:
    """Name a dimension in plain words.

    >>> noun(SPELLINGS["mV"].dimension)
    'a voltage'
    """
    return _NOUN_OF.get(dimension, "a mixture of units")


def noun_in(unit: Unit | Dimension) -> str:
    """Name a dimension and a unit in which people read it.

    >>> noun_in(SPELLINGS["mV"])
    'a voltage in mV'
    """
    if isinstance(unit, Unit):
        dimension, symbol = unit.dimension, unit.symbol
    else:
        dimension, symbol = unit, _SYMBOL_OF.get(unit, "")
    bare = dimension == NUMBER and symbol in ("1", "")
    return noun(dimension) if bare or not symbol else f"{noun(dimension)} in {symbol}"


def shown(text: str) -> str:
    """Return at most forty characters of a text, fit to be shown in a sentence."""
    plain = "".join(c if c.isprintable() else "?" for c in text[: LONGEST_SHOWN + 1])
    return plain if len(plain) <= LONGEST_SHOWN else plain[: LONGEST_SHOWN - 1] + "…"


def nearest(word: str, words: Iterable[str]) -> str:
    """Offer at most three known words near to one that is not known; empty when none is near."""
    import difflib  # only once something is wrong, so that a sound start does not pay for it

    known = sorted(words)
    near = difflib.get_close_matches(word[:100], known, n=3, cutoff=0.6)
    if near:
        return "did you mean " + " or ".join(f"`{each}`" for each in near) + "?"
    if 0 < len(known) <= 8:
        return "known are " + ", ".join(f"`{each}`" for each in known)
    return ""


def number(text: str) -> float:
    """Read a plain number that is not negative."""
    match = _NUMBER.fullmatch(text)
    if not match or match[2]:
        raise ValueError(f"`{shown(text)}` is not a plain number")
    value = float(match[1])
    if value < 0 or not math.isfinite(value):
        raise ValueError(f"`{shown(text)}` is not a number of 0 or more")
    return value


def whole(text: str) -> int:
    """Read a count."""
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise ValueError(f"`{shown(text)}` is not a count")
    return int(text)


def any_quantity(text: str) -> Quantity:
    """Read a number with a unit; without one it is a bare number."""
    match = _NUMBER.fullmatch(text)
    if not match:
        raise ValueError(f"`{shown(text)}` is not a number with a unit")
    symbol = match[2] or "1"
    if symbol not in SPELLINGS:
        raise ValueError(f"`{shown(symbol)}` is not a known unit of measure")
    value = float(match[1])
    if not math.isfinite(SPELLINGS[symbol].to_si(value)):
        raise ValueError(f"`{shown(text)}` is too large to be true")
    return quantity(value, symbol)


def in_dimension(read: Quantity, unit: Unit) -> Quantity:
    """Return the quantity, or say what it is and what is expected."""
    if read.dimension != unit.dimension:
        raise ValueError(f"`{read}` is {noun(read.dimension)}; {noun_in(unit)} is expected")
    return read


def span(text: str) -> tuple[Quantity, Quantity]:
    """Read `LOW to HIGH`, both of one dimension, low below high."""
    ends = text.split(" to ")
    if len(ends) != 2:
        raise ValueError(f"`{shown(text)}` is not a range such as `0 V to 32 V`")
    low, high = any_quantity(ends[0].strip()), any_quantity(ends[1].strip())
    if low.dimension != high.dimension:
        raise ValueError(f"`{low}` is {noun(low.dimension)} and `{high}` {noun(high.dimension)}")
    if low.si >= high.si:
        raise ValueError(f"`{low}` does not lie below `{high}`")
    return low, high


def unit_of(text: str) -> Unit:
    """Read the symbol of a unit."""
    if text not in SPELLINGS:
        near = nearest(text, UNITS)
        raise ValueError(f"`{shown(text)}` is not a known unit of measure; {near}".rstrip("; "))
    return SPELLINGS[text]


def yes_or_no(text: str) -> str:
    """Read `yes` or `no`, nothing else."""
    if text not in ("yes", "no"):
        raise ValueError(f"`{shown(text)}` is neither `yes` nor `no`")
    return text


@lru_cache(maxsize=256)
def origin(text: str) -> Origin:
    """Read where a number comes from.

    >>> origin("published in IEC 60228:2004 Table 3").note
    'in IEC 60228:2004 Table 3'
    """
    for each in ORIGINS:
        if text == each or text.startswith((f"{each} ", f"{each},", f"{each}:", f"{each};")):
            note = text[len(each) :].strip(" ,:;")
            if each == "published" and not note:
                raise ValueError("`published` must say where")
            return Origin(each, note)
    kinds = "`published`, `common practice`, `memory` or `invented`"
    raise ValueError(f"`{shown(text)}` does not begin with {kinds}")


def meter_error(text: str) -> tuple[float, Quantity | None]:
    """Read `0.5 % + 0.02 V`, or one of the two: fraction of the reading, fixed part."""
    fraction, fixed = 0.0, None
    for part in text.split("+"):
        read = any_quantity(part.strip())
        if read.unit.symbol == "%":
            fraction += read.si
        else:
            fixed = read
    if fraction < 0 or (fixed is not None and fixed.value < 0):
        raise ValueError(f"`{shown(text)}` is less than nothing")
    return fraction, fixed
