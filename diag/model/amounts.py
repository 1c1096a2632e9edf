"""Amounts as people type them and meters show them: the one reader of typed numbers.

Whatever takes a number with a unit reads it here, so that the same text means the same at every
prompt, in every option and in every file. Case decides only where SI lets it (`m` is milli, `M`
is mega: SI brochure, 9th edition, table 7); elsewhere units are read in any case, in the plural
and in longhand.
"""

from __future__ import annotations

import math
import re
from typing import Literal as OneOf

from diag.model.quantity import DIMENSIONLESS, SPELLINGS, UNITS, Dimension, Gauge, Quantity, Unit

LONGEST = 60
"""No amount needs more characters."""
LONGEST_SHOWN = 40
AMOUNT = r"[-+−]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
"""A number as written: with a sign, decimals behind a point or a comma, no exponent."""
CODE_IN_TEXT = re.compile(
    r"\d+ long,?(?: and)? \d+ short|\b(?:[a-z]{1,2}-?)?\d+(?: ?- ?\d+)*\b", re.IGNORECASE
)
"""What in running text may be a code that a panel shows or flashes."""
CODE_ALONE = re.compile(
    r"[A-Z]{0,5}[- ]?[0-9][A-Z0-9]{0,5}(?:[-.,:/ ][A-Z0-9]{1,4}){0,3}"
    r"|[0-9]{1,2} LONG,?(?: AND)? [0-9]{1,2} SHORT"
)
"""What a code, as `code` reads it, looks like where it stands in no list."""
AMOUNT_IN_TEXT = re.compile(r"([-+−]?[0-9][0-9.,]*+)\s?([A-Za-z%°µΩ/][A-Za-zΩ0-9²³/]*+)?")
"""A number in running text, with the word behind it that may be its unit; linear in the text."""
OVER_RANGE_IN_TEXT = re.compile(
    r"\b(?:o\.?l\b\.?|open[ -]circuit|over[ -]?range)(?![\w-])", re.IGNORECASE
)
"""What meters show for more than they can, in running text."""
HOUR_IN_TEXT = re.compile(
    r"\b(?:at|around|about|by|until|till|after|before|past) \d{1,2}(?:[.:]\d\d)? ?"
    r"(?:am|pm|o'?clock|in the (?:morning|evening|afternoon|night)|at night)\b",
    re.IGNORECASE,
)
"""A time of day in running text, which measures nothing."""
_PLAIN = re.compile(r"(-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,12})?)(?: (\S+))?")
"""What needs no second look, as most of what stands in files."""
_AMOUNT = re.compile(rf"({AMOUNT})(?![0-9.,_])(.*)", re.DOTALL)
_TWO_WAYS = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")
_DIGITS = re.compile(r"[-+]?(?:0|[1-9][0-9]{0,11}|)(?:\.[0-9]{1,12})?")
_GAUGE_OF_ZEROS = re.compile(r"([1-4])/0\s*awg", re.IGNORECASE)
_OVER_RANGE = re.compile(
    r"(?:[o0][.]?l[.]?|open(?:[ -]circuit)?|over[ -]?(?:range|load|limit)|1 [.])(?=$|[^a-z])(.*)",
    re.IGNORECASE | re.DOTALL,
)
"""What meters show for more than they can: `OL` in its spellings, or a 1 at the far left."""

Why = OneOf["shape", "unit", "dimension", "two ways", "digits", "over range"]


class NotAnAmount(ValueError):
    """A text that is no amount; the sentence says why and what to write, parted by `; `."""

    def __init__(self, why: Why, message: str, advice: str = "") -> None:
        super().__init__(f"{message}; {advice}" if advice else message)
        self.why = why
        self.message = message
        self.advice = advice


def amount(text: str, unit: Unit | None = None) -> Quantity:
    """Read a typed amount; a bare number is one of `unit`, and a plain number without.

    With `unit`, the amount has its dimension, and a resistance may be over range, which is more
    than any number. Raises `NotAnAmount` with one sentence.

    >>> str(amount("12,7 Volts")), str(amount("1.2 MΩ")), str(amount("7.9", UNITS["A"]))
    ('12.7 V', '1.2 Mohm', '7.9 A')
    >>> str(amount("OL", UNITS["ohm"]))
    'over range'
    """
    typed = text.strip()
    read = _plainly(typed, unit or UNITS["1"])
    if read is None:
        read = _with_care(typed, unit)
    if unit is not None and read.dimension != unit.dimension:
        message = f"`{excerpt(typed)}` is {noun(read.dimension)}"
        raise NotAnAmount("dimension", message, f"{noun_in(unit)} is expected")
    return read


def _plainly(typed: str, usual: Unit) -> Quantity | None:
    """Read a number as we write it ourselves, with a unit as it is spelt in the table or none."""
    match = _PLAIN.fullmatch(typed)
    if match is None:
        return None
    unit = SPELLINGS.get(match[2]) if match[2] else usual
    if unit is None or isinstance(unit, Gauge) or match[2] in ("k", "K"):
        return None  # gauges have numbers of their own, and a `k` may be a thousand ohm
    return Quantity(unit.to_si(float(match[1])), unit)


def _with_care(typed: str, unit: Unit | None) -> Quantity:
    """Read what people type and meters show."""
    if len(typed) > LONGEST:
        message = f"`{excerpt(typed)}` is too long for an amount"
        raise NotAnAmount("digits", message, f"it has at most {LONGEST} characters")
    if unit is not None and (over := _over_range(typed, unit)):
        return over
    return _quantity(typed, unit or UNITS["1"])


def _over_range(typed: str, unit: Unit) -> Quantity | None:
    match = _OVER_RANGE.fullmatch(typed)
    if match is None:
        return None
    named = unit_spelt(match[1], unit) if match[1].strip() else unit
    if named is None or named.dimension != unit.dimension:
        return None
    if unit.dimension != UNITS["ohm"].dimension:
        message = f"`{excerpt(typed)}` is more than the meter shows on its range"
        raise NotAnAmount("over range", message, "turn it to a higher range and read it again")
    return Quantity(math.inf, named)


def _quantity(typed: str, usual: Unit) -> Quantity:
    match = _AMOUNT.fullmatch(_one_way(typed))
    if match is None or re.match(r"[eE][-+]?[0-9]", match[2]):
        raise NotAnAmount("shape", f"`{excerpt(typed)}` is not a number with a unit")
    digits = match[1]
    if _TWO_WAYS.fullmatch(digits):
        point = f"{float(digits.replace(',', '.')):g}"
        message = f"`{digits}` could be {point} or {digits.replace(',', '')}"
        raise NotAnAmount("two ways", message, "write one of them")
    digits = digits.replace(",", ".")
    if not _DIGITS.fullmatch(digits):
        message = f"`{excerpt(typed)}` is not a number that a meter can show"
        raise NotAnAmount("digits", message, "write at most 12 digits, and no zeros ahead of them")
    unit = unit_spelt(match[2], usual) if match[2].strip() else usual
    if unit is None:
        raise NotAnAmount("unit", f"`{excerpt(match[2].strip())}` is not a known unit of measure")
    value = float(digits)
    if isinstance(unit, Gauge) and not (value.is_integer() and unit.holds(value)):
        raise NotAnAmount("digits", f"there is no `{excerpt(typed)}`", "gauges go from 4/0 to 56")
    return Quantity(unit.to_si(value), unit)


def _one_way(typed: str) -> str:
    """Return the text with one minus sign, no blank behind it, and a gauge as one number."""
    plain = typed.replace("−", "-").replace("–", "-")
    if plain[:2] in ("- ", "+ "):
        plain = plain[0] + plain[1:].lstrip()
    if plain[:3].lower() == "awg":
        plain = f"{plain[3:].strip()} AWG"
    zeros = _GAUGE_OF_ZEROS.fullmatch(plain)
    return f"{1 - int(zeros[1])} AWG" if zeros else plain


def unit_spelt(text: str, usual: Unit | None = None) -> Unit | None:
    """Return the unit of any spelling, or None; for a resistance as `usual` a prefix will do.

    >>> [each.symbol for each in map(unit_spelt, ("Amps", "mΩ", "M ohm", "deg F")) if each]
    ['A', 'mohm', 'Mohm', 'F']
    >>> unit_spelt("k", UNITS["ohm"]).symbol
    'kohm'
    """
    if text in SPELLINGS and usual is None:
        return SPELLINGS[text]
    plain = "".join(text.split()).removesuffix(".").replace("º", "°")
    found = _BY_KEY.get(_key(plain))
    if usual is not None and usual.dimension == UNITS["ohm"].dimension:
        return {"k": UNITS["kohm"], "K": UNITS["kohm"], "M": UNITS["Mohm"]}.get(plain, found)
    return found


_BASES = "v volt volts a amp amps w watt watts ω ohm ohms hz pa ah wh"
_PREFIXED = frozenset(_BASES.split())
"""What a milli and a mega can both stand before, so that the case of the `m` decides."""


def _key(spelling: str) -> str:
    """Return a spelling without what does not matter in it."""
    rest = spelling[1:].casefold()
    return spelling[:1] + rest if rest in _PREFIXED and spelling[0] in "mM" else spelling.casefold()


_BY_KEY = {_key(name): unit for name, unit in SPELLINGS.items()}


def count(text: str) -> int:
    """Read a whole number of 0 or more; raises `NotAnAmount`.

    >>> count("12")
    12
    """
    if not re.fullmatch(r"\+?(?:0|[1-9][0-9]{0,8})", text.strip()):
        raise NotAnAmount("shape", f"`{excerpt(text)}` is not a count", "type a number such as 3")
    return int(text)


def code(text: str) -> str:
    """Read a code as a panel shows or flashes it, a short text; raises `NotAnAmount`.

    Letters count as capitals, blanks in a row and about a hyphen not at all.

    >>> code("e10"), code("3 - 2"), code("2 long  3 short"), code("none")
    ('E10', '3-2', '2 LONG 3 SHORT', '0')
    """
    read = re.sub(r" ?- ?", "-", " ".join(text.upper().split()))
    if read in ("NONE", "NO"):
        return "0"
    if not re.fullmatch(r"[A-Z0-9](?:[A-Z0-9 .,:/-]{0,38}[A-Z0-9])?", read):
        raise NotAnAmount(
            "shape", f"`{excerpt(text)}` is not a code", "type it as shown, such as 3-2 or E10"
        )
    return read


def meter_error(text: str, unit: Unit | None = None) -> tuple[float, Quantity | None]:
    """Read what a meter may be out by: its fraction of the reading, and its fixed part.

    A part in `%` is one of the reading; a bare number is one of `unit`. Raises `NotAnAmount`.

    >>> fraction, fixed = meter_error("0.5 % + 0.02 V")
    >>> fraction, str(fixed)
    (0.005, '0.02 V')
    """
    if len(text) > LONGEST:
        raise NotAnAmount("digits", f"`{excerpt(text)}` is too long for a meter's error")
    fraction, fixed = 0.0, None
    for part in text.split("+"):
        percent = part.rstrip().endswith("%")
        read = amount(part, UNITS["%"] if percent else unit)
        if read.si < 0 or read.over_range:
            raise NotAnAmount("digits", f"`{excerpt(text)}` is less than nothing")
        if percent:
            fraction += read.si
        else:
            fixed = read if fixed is None else Quantity(fixed.si + read.si, fixed.unit)
    return fraction, fixed


def excerpt(text: str) -> str:
    """Return at most forty characters of a text, fit to be shown in a sentence."""
    plain = "".join(c if c.isprintable() else "?" for c in text[: LONGEST_SHOWN + 1])
    return plain if len(plain) <= LONGEST_SHOWN else plain[: LONGEST_SHOWN - 1] + "…"


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
    bare = dimension == DIMENSIONLESS and symbol in ("1", "")
    return noun(dimension) if bare or not symbol else f"{noun(dimension)} in {symbol}"
