"""What of a line is counted: its words as stems, what is denied apart, numbers by their units."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from diag.model.amounts import unit_spelt
from diag.session.hearing.denial import denied
from diag.session.hearing.numbers import SaidNumber
from diag.session.hearing.words import IDLE_WORDS, NOT, Word

DENIED = "not-"
"""What stands before a word that is denied, and before all that is made of it."""
NUMBER, CODE, BARE = "#", "#code", "#b"
"""What stands for a number before its unit, for a code, and for a number without a unit."""
PART = 4
"""Letters of the pieces of a word that are counted, its two ends counted as letters."""


def tokens(
    words: Sequence[Word], stems: Sequence[str], numbers: Mapping[str, SaidNumber]
) -> list[str]:
    """Return one token for each word of a line: its stem, or what its number is counted in."""
    return [_token(words, at, stems, numbers) for at in range(len(words))]


def _token(
    words: Sequence[Word], at: int, stems: Sequence[str], numbers: Mapping[str, SaidNumber]
) -> str:
    text = words[at].text
    if text in numbers:
        return _counted_in(numbers[text])
    if text in NOT or text in IDLE_WORDS:
        return text
    return (DENIED if _is_denied(words, at) else "") + stems[at]


def _is_denied(words: Sequence[Word], at: int) -> bool:
    """Return whether a word is denied, alone, with the one right before it or with the next that
    tells something: `no wet paint`, `paint on the floor: none`."""
    if denied(words, frozenset({at})):
        return True
    after = at + 1
    while after < len(words) and words[after].idle:
        after += 1
    return any(
        0 <= other < len(words)
        and words[other].clause == words[at].clause
        and tells(words[other].text)
        and denied(words, frozenset({at, other}))
        for other in (at - 1, after)
    )


def _counted_in(number: SaidNumber) -> str:
    unit = unit_spelt(number.unit) if number.unit else None
    if unit or number.unit:
        return NUMBER + (unit.symbol if unit else number.unit)
    return BARE if number.digits.replace(",", "").replace(".", "").isdecimal() else CODE


def tells(token: str) -> bool:
    """Return whether a token is more than a link between others: a word, or a number."""
    return token not in NOT and token not in IDLE_WORDS


def spread(said: Iterable[str], kinds: Mapping[str, Sequence[str]]) -> Counter[str]:
    """Return all that is counted in some tokens: themselves, and pieces and kinds of words.

    >>> sorted(spread(["not-wet", "#V"], {"wet": ["DAMP"]}).elements())
    ['#V', 'not-DAMP', 'not-wet', 'not-~<wet', 'not-~wet>']
    """
    found = Counter[str]()
    for token in said:
        found[token] += 1
        if tells(token) and not token.startswith(NUMBER):
            found.update(_made_of(token, kinds))
    return found


def _made_of(token: str, kinds: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """Give the pieces and the kinds of a word, denied where it is."""
    word = token.removeprefix(DENIED)
    away = token[: len(token) - len(word)]
    whole = f"<{word}>"
    for start in range(len(whole) - PART + 1):
        yield f"{away}~{whole[start : start + PART]}"
    for kind in kinds.get(word, ()):
        yield away + kind
