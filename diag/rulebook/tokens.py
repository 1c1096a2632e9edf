"""The words and marks of conditions and sums."""

from __future__ import annotations

import re

from diag.model.quantity import SPELLINGS

RESERVED = ("and", "or", "not", "is", "between", "known")
"""Words that may not stand inside an id; `unit` may, but not as its first word."""

_WORD = r"[a-z0-9]+(?:[-'][a-z0-9]+)*"
_END = r"(?![a-z0-9'-])"
_KEY = "|".join(RESERVED)
_PHRASE = rf"(?=[a-z]){_WORD}(?:\s+(?!(?:{_KEY}){_END}){_WORD})*"
_UNITS = SPELLINGS.keys() - {"1"}
_SYMBOLS = "|".join(re.escape(symbol) for symbol in sorted(_UNITS, key=len, reverse=True))
_OPERATORS = frozenset(("<=", ">=", "!=", *"-+*/<>=(),"))
NUMBER, OPERATOR, KEYWORD, NAME, STRANGE, END = range(1, 7)
_TOKEN = re.compile(
    rf"\s*(?:(-?\d+(?:\.\d+)?(?:\s?(?:{_SYMBOLS})(?![A-Za-z0-9²³]))?)"
    r"|(<=|>=|!=|[-+*/<>=(),])"
    rf"|(is\s+one\s+of(?=\s)|(?:{_KEY}|unit){_END})"
    rf"|({_PHRASE})|(\S))"
)
_WORDS = re.compile(r"[a-z0-9'-]+")
_GLUED = re.compile(r"[^a-z0-9'\s-][a-z]")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_PART = re.compile(rf"(?=[a-z]){_WORD}")
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


def words_in(text: str) -> list[str]:
    """Return all words in a condition, also those within names.

    >>> words_in("known(cell volts)")
    ['known', 'cell', 'volts']
    """
    return _WORDS.findall(text) if _GLUED.search(text) else text.split()


def tokens_of(text: str) -> list[Token]:
    """Split a condition or a sum into its tokens, the last of which is `END`.

    >>> tokens_of("cell volts < 5 V")[:3]
    [(4, 'cell volts', 0), (2, '<', 11), (1, '5 V', 13)]
    """
    return _plain_tokens(text) or matched_tokens(text)


def matched_tokens(text: str) -> list[Token]:
    """Split by the one pattern that says what a token is."""
    tokens: list[Token] = [
        (kind, match[kind], match.start(kind))
        for match in _TOKEN.finditer(text)
        if (kind := match.lastindex)
    ]
    tokens.append((END, "", len(text.rstrip())))
    return tokens


def _plain_tokens(text: str) -> list[Token]:
    """Split words that single blanks hold apart, which is quicker; empty for any other text.

    Where the pattern could cut a word in two, or join what looks apart, it is left to decide.
    """
    words = text.split(" ")
    kinds = list(map(_KINDS.__getitem__, words))
    tokens: list[Token] = []
    start = at = 0
    begun = 0
    for kind, word in zip(kinds, words, strict=True):
        if kind == NAME and begun == NAME:
            at += len(word) + 1
            continue
        if begun:
            if begun == NAME:
                if word == "unit":
                    at += 5
                    continue
                if kind == NUMBER:
                    return []
            elif word in _UNITS:
                kind = 0
            elif kind == NAME or kind == NUMBER:  # noqa: SIM109 - asked for every word
                return []
            ended = at - 1 if kind else at + len(word)
            tokens.append((begun, text[start:ended], start))
            begun = 0
        if kind == OPERATOR or kind == KEYWORD:  # noqa: SIM109
            tokens.append((kind, word, at))
        elif kind == STRANGE:
            return []
        elif kind:
            begun, start = kind, at
        at += len(word) + 1
    if begun:
        tokens.append((begun, text[start:], start))
    tokens.append((END, "", len(text)))
    return tokens


class _Kinds(dict[str, int]):
    """What each word met so far is by itself; `STRANGE` where that is for the pattern to say."""

    def __missing__(self, word: str) -> int:
        whole, _, part = word.partition(".")
        if whole.isdecimal() and (part.isdecimal() or whole == word):
            return NUMBER
        if _NUMBER.fullmatch(word):
            return NUMBER
        if not _PART.fullmatch(word) or word == "one":
            return STRANGE
        self[word] = NAME
        return NAME


_KINDS = _Kinds(
    {
        **{symbol: STRANGE for symbol in _UNITS if not _PART.fullmatch(symbol)},
        **dict.fromkeys(_OPERATORS, OPERATOR),
        **dict.fromkeys((*RESERVED, "unit"), KEYWORD),
    }
)
