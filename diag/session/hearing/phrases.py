"""A phrase to listen for, its words as stems.

A phrase is plain words. All that carry something must be said, near each other and in any order,
or anywhere in one sentence where `...` stands among them; `/` parts words that stand for each
other, a hyphen joins two that must follow each other, and what follows `but not` must not stand
near: `bell/horn rings/goes-off but not church/school`. A denial in a phrase must be said too (`no`,
`not` and `cannot` stand for all of them); one that is not in it denies it. `bells!` wants the word
in just this form, without the mark any form of it will do; `9..99` is any number from 9 to 99.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from diag.rulebook.language.phrases import Saying
from diag.session.hearing.words import IDLE_WORDS, NOT, RANGE, stem, word_set, words_of


@dataclass(frozen=True, slots=True)
class Phrase:
    """What must be said, as slots of stems any of which will do, and what bars it."""

    slots: tuple[frozenset[str], ...]
    bars: frozenset[str] = frozenset()
    far: bool = False
    """Whether its words may stand anywhere in a sentence."""

    @classmethod
    def of(cls, saying: Saying, strict: bool = False) -> Phrase:
        """Take in a phrase; one of idle words alone keeps them.

        Where it is `strict`, an idle word among others that would do fills no slot.
        """
        slots = [frozenset(map(_joined, words)) for words in saying.slots]
        if strict:
            slots = [slot - _FILLING or slot for slot in slots]
        idle = _FILLING if strict else _IDLE_STEMS
        telling = [slot for slot in slots if not slot <= idle]
        return cls(tuple(telling or slots), frozenset(map(_joined, saying.bars)), saying.far)


_IDLE_STEMS = frozenset(map(stem, IDLE_WORDS))
_FILLING = _IDLE_STEMS - frozenset(
    map(
        stem,
        word_set(
            "little lot lots some all both bit just too very now then when while so one can"
            " help whole quite really"
        ),
    )
)
"""What fills a sentence and tells nothing, less than what may stand between words of a phrase:
`help` and `whole` tell of something there, and `quite` and `really` have the stems of others."""
PASSED = word_set("a an the my our your his her their its this that it them")
"""Words that may stand between two that are joined by a hyphen."""
ANY_DENIAL = "not"
NUMBERED = "#"
"""What stands before the name of a slot that no word fills by itself, as one for an amount."""
MOST_KEPT = 8192
"""Words of phrases whose stems are kept, as many phrases share a group."""


@lru_cache(MOST_KEPT)
def _joined(text: str) -> str:
    """Return what a word of a phrase is kept as: its stem, or two stems and a hyphen."""
    if text.startswith(NUMBERED) or text.endswith("!") or RANGE.fullmatch(text):
        return text
    if text.isalpha() and text not in NOT:
        return stem(text)
    return "-".join(
        ANY_DENIAL if word.text in ("no", "not", "cannot") else word.stem for word in words_of(text)
    )
