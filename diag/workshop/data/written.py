"""Numbers as people write them in data files: with the unit of the quantity, or `open`."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from diag.model.amounts import NotAnAmount, amount, excerpt
from diag.model.quantity import UNITS
from diag.workshop.amount import OPEN_OHM, Amount, WordKind, WorkshopError
from diag.workshop.heater import PARTS, QUANTITIES


def value_in(text: str, takes: Amount | WordKind) -> float | str:
    """Read a value of a quantity; raises `WorkshopError` for what cannot be one.

    >>> value_in("1.5 mm2", Amount("mm2", 0.5, 35.0))
    1.5
    >>> value_in("open", Amount("ohm", 0.0, OPEN_OHM))
    10000000.0
    """
    if isinstance(takes, WordKind):
        mistake = takes.mistake("it", text)
        if mistake is not None:
            raise WorkshopError(f"`{excerpt(text)}` is none of {', '.join(takes.words)}")
        return text
    if text == "open" and takes.unit == "ohm":
        return OPEN_OHM
    return number_in(text, takes.unit)


def number_in(text: str, unit: str) -> float:
    """Read a number that may be followed by its unit; raises `WorkshopError`.

    >>> number_in("-30 K", "K")
    -30.0
    """
    number, _, rest = text.partition(" ")
    try:
        value = amount(number, UNITS["1"]).si
    except NotAnAmount as problem:
        if problem.why == "two ways":
            raise WorkshopError(str(problem)) from None
        raise WorkshopError(f"`{excerpt(text)}` does not begin with a number") from None
    if rest.strip() not in ("", unit):
        expected = "no unit" if unit == "1" else f"`{unit}` or nothing"
        raise WorkshopError(f"`{excerpt(text)}`: {expected} is expected after the number")
    return value


def quantity_in(text: str) -> tuple[str, str]:
    """Split `glow plug cold resistance` into part and quantity; raises `WorkshopError`.

    >>> quantity_in("glow plug cold resistance")
    ('glow plug', 'cold resistance')
    """
    parts = sorted((p for p in PARTS if text.startswith(f"{p} ")), key=len, reverse=True)
    for part in parts:
        quantity = text.removeprefix(f"{part} ")
        if quantity in QUANTITIES[part]:
            return part, quantity
    if parts:
        known = ", ".join(QUANTITIES[parts[0]])
        rest = text.removeprefix(f"{parts[0]} ")
        raise WorkshopError(f"`{parts[0]}` has no `{excerpt(rest)}`: expected one of {known}")
    raise WorkshopError(f"no part begins `{excerpt(text)}`")


def near(word: str, words: Iterable[str]) -> str:
    """Offer at most three known words near to one that is not known."""
    found = get_close_matches(word, sorted(words), n=3)
    return f"did you mean {' or '.join(f'`{each}`' for each in found)}?" if found else ""
