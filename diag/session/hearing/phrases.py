"""One matcher of phrases: a table of meanings and the phrases that tell of each, scored.

A phrase is plain words. All that carry something must be said, near each other and in any order;
`/` parts words that stand for each other, a hyphen joins two that must follow each other, and what
follows `but not` must not stand near: `bell/horn rings/goes-off but not church/school`. A denial in
a phrase must be said too (`no` and `not` stand for all of them); one that is not in it denies it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from diag.session.hearing.denial import ALONG, denied
from diag.session.hearing.spelling import Spelling
from diag.session.hearing.words import IDLE, NOT, Word, stem, words_of

LONGEST_LINE = 100_000
"""Characters of a line that are listened to."""
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
        wanted, _, barred = text.lower().partition(" but not ")
        slots = [frozenset(map(_joined, one.split("/"))) for one in wanted.split()]
        telling = [slot for slot in slots if not slot <= _IDLE_STEMS]
        bars = frozenset(_joined(one) for one in barred.replace("/", " ").split())
        return cls(tuple(telling or slots), bars)


_IDLE_STEMS = frozenset(map(stem, IDLE))
_ARTICLES = frozenset("a an the my our your his her their its this that".split())
_ANY_DENIAL = "not"


def _joined(text: str) -> str:
    """Return what a word of a phrase is kept as: its stem, or two stems and a hyphen."""
    return "-".join(
        _ANY_DENIAL if word.text in ("no", "not") else word.stem for word in words_of(text)
    )


def _wanted(text: str) -> Sequence[Word]:
    return words_of(text.lower().partition(" but not ")[0].replace("/", " "))


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
        said = {word.text for _, all_ in listed for text in all_ for word in _wanted(text)}
        known = {word.text for text in right for word in words_of(text)}
        table = cls(
            tuple(meaning for meaning, _ in listed),
            tuple((number, phrase) for number, phrase in phrases if phrase.slots),
            Spelling.of(said - IDLE - NOT, known | IDLE | NOT),
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
        return _Listening(self, words_of(line[:LONGEST_LINE])).best()


class _Listening(Generic[M]):
    """One line gone through once: the latest word in each slot of each phrase."""

    def __init__(self, table: PhraseTable[M], words: Sequence[Word]) -> None:
        self._table = table
        self._words = words
        self._filled: dict[int, dict[int, tuple[int, ...]]] = {}
        self._meant: dict[str, str] = {}
        self._misspelt: set[int] = set()
        self._denied: dict[frozenset[int], bool] = {}
        self._found: dict[int, Match[M]] = {}

    def best(self) -> tuple[Match[M], ...]:
        """Go through the words; return what they tell of, best first."""
        before, last = -1, ""
        for at, word in enumerate(self._words):
            key = self._key(at)
            self._take(key, (at,))
            if word.denies:
                self._take(_ANY_DENIAL if key != _ANY_DENIAL else "", (at,))
            if word.text in _ARTICLES:
                continue
            if before >= 0 and self._words[before].clause == word.clause:
                self._take(f"{last}-{key}", (before, at))
                if self._words[before].denies:
                    self._take(f"{_ANY_DENIAL}-{key}", (before, at))
            before, last = at, key
        ranked = sorted(self._found.items(), key=lambda found: (-found[1].score, found[0]))
        return tuple(match for _, match in ranked)

    def _key(self, at: int) -> str:
        """Return the stem of a word, or of the word that is meant where it is misspelt."""
        word = self._words[at]
        if self._table.slots_of(word.stem):
            return word.stem
        if word.text not in self._meant:
            self._meant[word.text] = self._table.spelling.meant(word.text)
        if self._meant[word.text]:
            self._misspelt.add(at)
        return self._meant[word.text] or word.stem

    def _take(self, key: str, places: tuple[int, ...]) -> None:
        for which, slot in self._table.slots_of(key):
            meaning, phrase = self._table.phrases[which]
            filled = self._filled.setdefault(which, {})
            filled[slot] = places
            if len(filled) == len(phrase.slots):
                self._try(meaning, phrase, [at for places in filled.values() for at in places])

    def _try(self, meaning: int, phrase: Phrase, places: list[int]) -> None:
        chosen = frozenset(places)
        score = self._score(chosen) if len(chosen) == len(places) else 0.0
        before = self._found.get(meaning)
        if not score or (before is not None and before.score >= score):
            return
        if self._barred(phrase, chosen) or self._is_denied(chosen):
            return
        words = tuple(self._words[at].text for at in sorted(chosen))
        self._found[meaning] = Match(self._table.meanings[meaning], words, score)

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
        if not phrase.bars:
            return False
        first, last = min(chosen), max(chosen)
        near = self._words[max(0, first - ALONG) : last + ALONG]
        low, high = self._words[first].at - BARRED_NEAR, self._words[last].at + BARRED_NEAR
        return any(
            word.stem in phrase.bars and low <= word.at <= high
            for word in near
            if word.sentence == self._words[first].sentence
        )

    def _is_denied(self, chosen: frozenset[int]) -> bool:
        if chosen not in self._denied:
            self._denied[chosen] = denied(self._words, chosen)
        return self._denied[chosen]
