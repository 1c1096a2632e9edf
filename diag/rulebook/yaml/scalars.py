"""Raw scalar text to values, each typed by what its key expects; `ValueError` says why not."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from diag.model.amounts import NotAnAmount, amount, excerpt, noun, noun_in, unit_spelt
from diag.model.origin import Origin
from diag.model.quantity import SPELLINGS, UNITS, Quantity, Unit

ORIGINS: tuple[Literal["published", "common practice", "memory", "invented"], ...] = (
    "published",
    "common practice",
    "memory",
    "invented",
)


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
    try:
        read = amount(text)
    except NotAnAmount as error:
        if error.why in ("shape", "unit"):
            raise ValueError(f"`{excerpt(text)}` is not a plain number") from None
        raise
    if read.unit.symbol != "1":
        raise ValueError(f"`{excerpt(text)}` is not a plain number")
    if read.si < 0:
        raise ValueError(f"`{excerpt(text)}` is not a number of 0 or more")
    return read.si


def minutes(text: str) -> float:
    """Read a length of time, which says its unit, and return it in minutes."""
    read = amount(text)
    if read.unit.symbol == "1" or read.unit.dimension != SPELLINGS["min"].dimension or read.si < 0:
        raise ValueError(f"`{excerpt(text)}` is no length of time; write it as `15 min` or `8 h`")
    return read.si / SPELLINGS["min"].factor


def in_dimension(read: Quantity, unit: Unit) -> Quantity:
    """Return the quantity, or say what it is and what is expected."""
    if read.dimension != unit.dimension:
        raise ValueError(f"`{read}` is {noun(read.dimension)}; {noun_in(unit)} is expected")
    return read


def span(text: str) -> tuple[Quantity, Quantity]:
    """Read `LOW to HIGH`, both of one dimension, low below high."""
    ends = text.split(" to ")
    if len(ends) != 2:
        raise ValueError(f"`{excerpt(text)}` is not a range such as `0 V to 32 V`")
    low, high = amount(ends[0]), amount(ends[1])
    if low.dimension != high.dimension:
        raise ValueError(f"`{low}` is {noun(low.dimension)} and `{high}` {noun(high.dimension)}")
    if low.si >= high.si:
        raise ValueError(f"`{low}` does not lie below `{high}`")
    return low, high


def unit_of(text: str) -> Unit:
    """Read the symbol of a unit."""
    unit = unit_spelt(text)
    if unit is None:
        near = nearest(text, UNITS)
        raise ValueError(f"`{excerpt(text)}` is not a known unit of measure; {near}".rstrip("; "))
    return unit


def yes_or_no(text: str) -> str:
    """Read `yes` or `no`, nothing else."""
    if text not in ("yes", "no"):
        raise ValueError(f"`{excerpt(text)}` is neither `yes` nor `no`")
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
    raise ValueError(f"`{excerpt(text)}` does not begin with {kinds}")
