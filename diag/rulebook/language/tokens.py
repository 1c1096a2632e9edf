"""The words and marks of conditions and sums."""

from __future__ import annotations

import re
from functools import cache

from diag.model.quantity import SPELLINGS

RESERVED = ("and", "or", "not", "is", "between", "known")
"""Words that may not stand inside an id; `unit` may, but not as its first word."""

_WORD = r"[a-z0-9]+(?:[-'][a-z0-9]+)*"
_END = r"(?![a-z0-9'-])"
_KEY = "|".join(RESERVED)
_PHRASE = rf"(?=[a-z]){_WORD}(?:\s++(?!(?:{_KEY}){_END}){_WORD})*"
NUMBER, OPERATOR, KEYWORD, NAME, STRANGE, END = range(1, 7)
_ID = re.compile(rf"(?=[a-z])(?!unit ){_WORD}(?: {_WORD})*")

PLAIN_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,12})?")
"""A number that reads the same as a `float`."""

Token = tuple[int, str, int]
"""Kind, text and offset."""


def _symbols() -> str:
    """Write the pattern of all unit symbols in any case, the longest first under each letter.

    One after the other would be tried at each number, all of them; by letter only a few are.
    """
    spelt = {each.casefold() for each in SPELLINGS.keys() - {"1"}}
    spelt |= {f"{prefix} {ohm}" for prefix in "km" for ohm in ("ohm", "ohms")}
    rests: dict[str, list[str]] = {}
    for each in sorted(spelt, key=len, reverse=True):
        rests.setdefault(each[0], []).append(re.escape(each[1:]))
    return "|".join(f"{re.escape(first)}(?:{'|'.join(rest)})" for first, rest in rests.items())


@cache
def _token() -> re.Pattern[str]:
    """Compile the pattern of a token, once the first condition is read.

    Blanks are taken whole and never given back, so that reading takes as long as the text is long.
    """
    return re.compile(
        rf"\s*+(?:(-?[0-9]+(?:[.,][0-9]+)?(?:\s?(?i:{_symbols()})(?![A-Za-z0-9²³]))?)"
        r"|(<=|>=|!=|[-+*/<>=(),])"
        rf"|(is\s++one\s++of(?=\s)|(?:{_KEY}|unit){_END})"
        rf"|({_PHRASE})|(\S))"
    )


def why_no_id(text: str, in_conditions: bool = True) -> str:
    """Say why a text cannot be an id; empty when it can.

    What never stands in a condition may hold the words that are reserved there.
    """
    if not _ID.fullmatch(text):
        return "an id is lower-case words with single blanks, and starts with a letter"
    if not in_conditions:
        return ""
    taken = [word for word in text.split() if word in RESERVED]
    return f"the word `{taken[0]}` is reserved for conditions" if taken else ""


def tokens_of(text: str) -> list[Token]:
    """Split a condition or a sum into its tokens, the last of which is `END`.

    >>> tokens_of("cell volts < 5 V")[:3]
    [(4, 'cell volts', 0), (2, '<', 11), (1, '5 V', 13)]
    """
    tokens: list[Token] = [
        (kind, match[kind], match.start(kind))
        for match in _token().finditer(text.rstrip())
        if (kind := match.lastindex)
    ]
    tokens.append((END, "", len(text.rstrip())))
    return tokens
