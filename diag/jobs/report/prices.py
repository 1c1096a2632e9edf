"""Sums of prices as they were typed: only where each is a number, all of one currency."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from diag.model.amounts import NotAnAmount, amount
from diag.model.frozen import frozen
from diag.model.quantity import UNITS

CENTS = 3
"""Characters at the end of a price in which a mark parts the cents: the mark, and two digits."""


@frozen
class Price:
    """A price that is a number, and its currency as typed; empty where none was."""

    number: Decimal
    currency: str

    def __str__(self) -> str:
        return f"{self.number:.2f} {self.currency}".rstrip()


def price_of(typed: str) -> Price | None:
    """Return a typed price as a number with its currency; None where it is anything else.

    A mark that may part thousands or cents, as in `1,250`, says nothing.

    >>> str(price_of("EUR 89,50")), str(price_of("12")), price_of("about 20"), price_of("1,250")
    ('89.50 EUR', '12.00', None, None)
    """
    text = typed.strip()
    begin = next((at for at, each in enumerate(text) if each in "0123456789"), None)
    if begin is None or len(text) > 40:
        return None
    end = max(at for at, each in enumerate(text) if each in "0123456789") + 1
    before, number, behind = text[:begin].strip(), text[begin:end], text[end:].strip()
    currency = before or behind
    if (before and behind) or not is_currency(currency):
        return None
    if any(mark in number[:-CENTS] for mark in ".,"):
        return None
    try:
        return Price(Decimal(f"{amount(number).si:.2f}"), currency)
    except NotAnAmount:
        return None


def is_currency(text: str) -> bool:
    """Tell whether a text may be a currency: one sign, or three letters that are no unit."""
    if not text:
        return True
    sign = len(text) == 1 and not text.isalnum() and text not in "+-~<>%?."
    return sign or (len(text) == 3 and text.isascii() and text.isalpha() and text not in UNITS)


def total(prices: Iterable[str]) -> Price | None:
    """Return the sum of typed prices; None where one is no number, or of another currency."""
    known = [price_of(one) for one in prices if one.strip()]
    found = [one for one in known if one is not None]
    currencies = {one.currency.upper() for one in found}
    if len(found) < len(known) or len(currencies) != 1:
        return None
    return Price(sum((one.number for one in found), Decimal(0)), found[0].currency)
