"""The words and marks of conditions and sums."""

from __future__ import annotations

import re

from diag.model.quantity import SPELLINGS

RESERVED = ("and", "or", "not", "is", "between", "known")
"""Words that may not stand inside an id; `unit` may, but not as its first word."""

_WORD = r"[a-z0-9]+(?:[-'][a-z0-9]+)*"
_END = r"(?![a-z0-9'-])"
_KEY = "|".join(RESERVED)
_PHRASE = rf"(?=[a-z]){_WORD}(?:\s++(?!(?:{_KEY}){_END}){_WORD})*"
_SPELT = sorted(SPELLINGS.keys() - {"1"}, key=len, reverse=True)
_SYMBOLS = "[kmM] ohms?|" + "|".join(map(re.escape, _SPELT))
NUMBER, OPERATOR, KEYWORD, NAME, STRANGE, END = range(1, 7)
# Blanks are taken whole and never given back, so that reading takes as long as the text is long.
_TOKEN = re.compile(
    rf"\s*+(?:(-?[0-9]+(?:[.,][0-9]+)?(?:\s?(?i:{_SYMBOLS})(?![A-Za-z0-9²³]))?)"
    r"|(<=|>=|!=|[-+*/<>=(),])"
    rf"|(is\s++one\s++of(?=\s)|(?:{_KEY}|unit){_END})"
    rf"|({_PHRASE})|(\S))"
)
_ID = re.compile(rf"(?=[a-z])(?!unit ){_WORD}(?: {_WORD})*")

Token = tuple[int, str, int]
"""Kind, text and offset."""


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
        for match in _TOKEN.finditer(text.rstrip())
        if (kind := match.lastindex)
    ]
    tokens.append((END, "", len(text.rstrip())))
    return tokens
