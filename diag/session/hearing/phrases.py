"""One matcher of phrases: a table of meanings and the phrases that tell of each, scored.

A phrase is plain words. All that carry something must be said, near each other and in any order;
`/` parts words that stand for each other, a hyphen joins two that must follow each other, and what
follows `but not` must not stand near: `bell/horn rings/goes-off but not church/school`. A denial in
a phrase must be said too (`no`, `not` and `cannot` stand for all of them); one that is not in it
denies it. `bells!` wants the word in just this form; without the mark any form of it will do.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from diag.session.hearing.denial import ALONG, denied
from diag.session.hearing.spelling import Spelling
from diag.session.hearing.words import (
    IDLE_WORDS,
    NOT,
    Word,
    plain_words,
    stem,
    word_set,
    words_of,
)

MOST_WORDS, MOST_LETTERS = 10_000, 100_000
"""Words, and characters, of a line that are listened to."""
MOST_STRANGE = 2000
"""Different words of a line that are looked up as slips; later ones are taken as they stand."""
MISSPELT = 0.85
"""What a misspelt word counts, beside 1 for one that is spelt as it should be."""
APART = 0.1
"""By how much each word that stands between lessens a match."""
ROOM = 2
"""Words that may stand between those of a phrase, beside one for each of its words."""
BARRED_NEAR = 3
"""How near to a match a word after `but not` bars it."""
THRESHOLD = 0.6
"""The least that a word of a phrase must count on average; below it nothing is claimed."""

ENOUGH = 20
"""Times that a line may tell of one meaning before no more is listened for."""

M = TypeVar("M")


@dataclass(frozen=True, slots=True)
class Match(Generic[M]):
    """A meaning that a line tells of: the words that do, in order, and how well they fit."""

    meaning: M
    words: tuple[str, ...]
    score: float
    """The number of words of the phrase, less what is misspelt and stands apart."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """What must be said, as slots of stems any of which will do, and what bars it."""

    slots: tuple[frozenset[str], ...]
    bars: frozenset[str] = frozenset()

    @classmethod
    def read(cls, text: str) -> Phrase:
        """Read a phrase as rule files write it; a phrase of idle words alone keeps them."""
        wanted, _, barred = re.sub(r"\s*/\s*", "/", text.lower()).partition(" but not ")
        slots = [frozenset(map(_joined, one.split("/"))) for one in wanted.split()]
        telling = [slot for slot in slots if not slot <= _IDLE_STEMS]
        bars = frozenset(_joined(one) for one in barred.replace("/", " ").split())
        return cls(tuple(telling or slots), bars)


_IDLE_STEMS = frozenset(map(stem, IDLE_WORDS))
_PASSED = word_set("a an the my our your his her their its this that it them")
"""Words that may stand between two that are joined by a hyphen."""
_ANY_DENIAL = "not"


def _joined(text: str) -> str:
    """Return what a word of a phrase is kept as: its stem, or two stems and a hyphen."""
    if text.endswith("!"):
        return text
    if text.isalpha() and text not in NOT:
        return stem(text)
    return "-".join(
        _ANY_DENIAL if word.text in ("no", "not", "cannot") else word.stem
        for word in words_of(text)
    )


def _wanted(text: str) -> str:
    return text.partition(" but not ")[0]


@dataclass(slots=True)
class PhraseTable(Generic[M]):
    """Phrases by their meanings, ready to be listened for."""

    meanings: tuple[M, ...]
    phrases: tuple[tuple[int, Phrase], ...]
    """Each with the number of its meaning."""
    spelling: Spelling
    _fills: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    """Stem to the phrases, and the slots of each, that it fills."""

    @classmethod
    def of(
        cls, entries: Iterable[tuple[M, Iterable[str]]], right: Iterable[str] = ()
    ) -> PhraseTable[M]:
        """Read a table; the words of the texts `right` are never taken for slips of others."""
        listed = [(meaning, tuple(phrases)) for meaning, phrases in entries]
        phrases = [
            (number, Phrase.read(text)) for number, (_, all_) in enumerate(listed) for text in all_
        ]
        said = {word for _, all_ in listed for text in all_ for word in plain_words(_wanted(text))}
        told = " ".join(text for _, all_ in listed for text in all_)
        known = set(plain_words(" ".join(right) + " " + told))
        table = cls(
            tuple(meaning for meaning, _ in listed),
            tuple((number, phrase) for number, phrase in phrases if phrase.slots),
            Spelling.of(said - IDLE_WORDS - NOT, known | IDLE_WORDS | NOT),
        )
        for which, (_, phrase) in enumerate(table.phrases):
            for slot, stems in enumerate(phrase.slots):
                for one in stems:
                    table._fills.setdefault(one, []).append((which, slot))
        return table

    def slots_of(self, key: str) -> list[tuple[int, int]]:
        """Return the phrases, by number, and the slots of each that a stem fills."""
        return self._fills.get(key, [])

    def matches(self, line: str) -> tuple[Match[M], ...]:
        """Return what a line tells of, each meaning once, best first, then in the table's order.

        Takes time in proportion to the line's length.
        """
        return _Listening(self, words_of(line[:MOST_LETTERS])[:MOST_WORDS]).best()


class _Listening(Generic[M]):
    """One line gone through once: the latest word in each slot of each phrase."""

    def __init__(self, table: PhraseTable[M], words: Sequence[Word]) -> None:
        self._table = table
        self._words = words
        self._filled: dict[int, dict[int, tuple[int, ...]]] = {}
        self._meant: dict[str, str] = {}
        self._misspelt: set[int] = set()
        self._denied: dict[frozenset[int], bool] = {}
        self._claims: dict[int, dict[frozenset[int], float]] = {}
        """Number of a meaning to the words by which it is told, with their score."""
        self._settled: set[int] = set()
        """Meanings told of so often that no more is listened for."""
        self._denials: dict[tuple[int, int], set[frozenset[int]]] = {}
        """Number of a meaning and place of a word to the matches denied that it is part of."""

    def best(self) -> tuple[Match[M], ...]:
        """Go through the words; return what they tell of, best first."""
        before, last = -1, ""
        for at, word in enumerate(self._words):
            key = self._key(at)
            if word.text not in _PASSED:
                if before >= 0 and self._words[before].clause == word.clause:
                    self._take(f"{last}-{key}", (before, at))
                    if self._words[before].denies:
                        self._take(f"{_ANY_DENIAL}-{key}", (before, at))
                before, last = at, key
            self._take(key, (at,))
            self._take(f"{word.text}!", (at,))
            if word.denies and key != _ANY_DENIAL:
                self._take(_ANY_DENIAL, (at,))
        return self._ranked()

    def _ranked(self) -> tuple[Match[M], ...]:
        found = []
        for meaning, claims in self._claims.items():
            good = [
                (-score, sorted(chosen))
                for chosen, score in claims.items()
                if not self._within_denial(meaning, chosen)
            ]
            if good:
                score, places = min(good)
                words = tuple(self._words[at].text for at in places)
                found.append((score, meaning, Match(self._table.meanings[meaning], words, -score)))
        return tuple(match for _, _, match in sorted(found, key=lambda one: one[:2]))

    def _within_denial(self, meaning: int, chosen: frozenset[int]) -> bool:
        """Return whether words are part of a longer match that is denied."""
        return any(chosen < longer for longer in self._denials.get((meaning, min(chosen)), ()))

    def _key(self, at: int) -> str:
        """Return the stem of a word, or of the word that is meant where it is misspelt."""
        word = self._words[at]
        if self._table.slots_of(word.stem):
            return word.stem
        if word.text not in self._meant:
            if len(self._meant) == MOST_STRANGE:
                return word.stem
            self._meant[word.text] = self._table.spelling.meant(word.text)
        if self._meant[word.text]:
            self._misspelt.add(at)
        return self._meant[word.text] or word.stem

    def _take(self, key: str, places: tuple[int, ...]) -> None:
        for which, slot in self._table.slots_of(key):
            meaning, phrase = self._table.phrases[which]
            if meaning in self._settled:
                continue
            filled = self._filled.setdefault(which, {})
            if len(filled.get(slot, ())) > len(places) and filled[slot][-1] == places[-1]:
                continue  # taken as part of a pair
            filled[slot] = places
            if len(filled) == len(phrase.slots):
                self._try(meaning, phrase, [at for places in filled.values() for at in places])

    def _try(self, meaning: int, phrase: Phrase, places: list[int]) -> None:
        chosen = frozenset(places)
        score = self._score(chosen) if len(chosen) == len(places) else 0.0
        claims = self._claims.setdefault(meaning, {})
        if not score or claims.get(chosen, 0.0) >= score or self._barred(phrase, chosen):
            return
        if not self._is_denied(chosen):
            claims[chosen] = score
            if len(claims) >= ENOUGH:
                self._settle(meaning, claims)
            return
        for at in chosen:
            self._denials.setdefault((meaning, at), set()).add(chosen)

    def _settle(self, meaning: int, claims: dict[frozenset[int], float]) -> None:
        for chosen in [one for one in claims if self._within_denial(meaning, one)]:
            del claims[chosen]
        if len(claims) >= ENOUGH:
            self._settled.add(meaning)

    def _score(self, chosen: frozenset[int]) -> float:
        """Return how well the words of a phrase fit it; 0 for words too far apart."""
        first, last = self._words[min(chosen)], self._words[max(chosen)]
        if first.sentence != last.sentence or max(chosen) - min(chosen) > ALONG:
            return 0.0
        telling = sum(not self._words[at].idle for at in chosen)
        between = max(0, last.at + (not last.idle) - first.at - telling)
        if between > ROOM + len(chosen):
            return 0.0
        wrong = len(chosen & self._misspelt)
        score = (len(chosen) - wrong * (1.0 - MISSPELT)) / (1.0 + APART * between)
        return score if score >= THRESHOLD * len(chosen) else 0.0

    def _barred(self, phrase: Phrase, chosen: frozenset[int]) -> bool:
        """Return whether a word that bars the phrase stands near, with no `and` in between."""
        if not phrase.bars:
            return False
        first, last = min(chosen), max(chosen)
        near = [*self._near(first, -1), *range(first, last + 1), *self._near(last, 1)]
        return any(
            self._words[at].stem in phrase.bars
            or (at and f"{self._words[at - 1].stem}-{self._words[at].stem}" in phrase.bars)
            for at in near
        )

    def _near(self, start: int, step: int) -> Iterator[int]:
        """Give the places near one, going back or on, to the end of what belongs together."""
        at = start + step
        while 0 <= at < len(self._words) and abs(at - start) <= ALONG:
            word = self._words[at]
            apart = abs(word.at - self._words[start].at)
            if word.text == "and" or word.clause != self._words[start].clause:
                return
            if apart > BARRED_NEAR:
                return
            yield at
            at += step

    def _is_denied(self, chosen: frozenset[int]) -> bool:
        if chosen not in self._denied:
            self._denied[chosen] = denied(self._words, chosen)
        return self._denied[chosen]
