"""One line gone through once: what it tells of, scored, denials kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from diag.session.hearing.denial import ALONG, denied
from diag.session.hearing.phrases import ANY_DENIAL, PASSED, Phrase
from diag.session.hearing.words import Word, word_set

if TYPE_CHECKING:
    from diag.session.hearing.table import PhraseTable

MOST_STRANGE = 2000
"""Different words of a line that are looked up as slips; later ones are taken as they stand."""
MISSPELT = 0.85
"""What a misspelt word counts, beside 1 for one that is spelt as it should be."""
APART = 0.1
"""By how much each word that stands between lessens a match."""
ROOM = 3
"""Words that may stand between those of a phrase, beside one for each of its words."""
BARRED_NEAR = 3
"""How near to a match a word after `but not` bars it."""
THRESHOLD = 0.6
"""The least that a word of a phrase must count on average; below it nothing is claimed."""

ENOUGH = 20
"""Times that a line may tell of one meaning before no more is listened for."""
_OTHER_UNITS = word_set(
    """second seconds sec secs minute minutes min mins hour hours hr hrs am pm oclock day days night
    nights week weeks month months year years time times percent litre litres
    liter liters ml mm cm m metre metres meter meters foot feet inch inches km ohm ohms amp amps a
    kw w watt watts rpm hz bar kg pound pounds euro euros dollars"""
)
"""What a number is counted in that is neither parts in a million nor volts."""

M = TypeVar("M")


@dataclass(frozen=True, slots=True)
class Match(Generic[M]):
    """A meaning that a line tells of: the words that do, in order, and how well they fit."""

    meaning: M
    words: tuple[str, ...]
    score: float
    """The number of words of the phrase, less what is misspelt and stands apart."""


@dataclass(frozen=True, slots=True)
class PhraseClaim(Generic[M]):
    """One place of a line that tells of a meaning, or denies it."""

    meaning: M
    places: tuple[int, ...]
    """Which words of the line, in order."""
    score: float
    denied: bool = False


def _pairs(words: Sequence[Word]) -> list[str]:
    """Return each word's stem behind that of the word before it, articles aside."""
    found, before = [], ""
    for word in words:
        found.append(f"{before}-{word.stem}")
        before = before if word.text in PASSED else word.stem
    return found


class Listening(Generic[M]):
    """One line gone through once: the latest word in each slot of each phrase."""

    def __init__(
        self,
        table: PhraseTable[M],
        words: Sequence[Word],
        also: Mapping[str, Sequence[str]] | None = None,
    ) -> None:
        """Begin; `also` says what else, beside itself, a word fills slots as."""
        self._table = table
        self._words = words
        self._also = also or {}
        self._filled: dict[int, dict[int, tuple[int, ...]]] = {}
        self.stems: list[str] = []
        """Stems of the words gone through, or of those that are meant where they are misspelt."""
        self._pairs = _pairs(words)
        self._meant: dict[str, str] = {}
        self._misspelt: set[int] = set()
        self._denied: dict[frozenset[int], bool] = {}
        self._claims: dict[int, dict[frozenset[int], float]] = {}
        """Number of a meaning to the words by which it is told, with their score."""
        self._settled: set[int] = set()
        """Meanings told of so often that no more is listened for."""
        self._denials: dict[tuple[int, int], set[frozenset[int]]] = {}
        """Number of a meaning and place of a word to the matches denied that it is part of."""
        self._denied_claims: dict[int, dict[frozenset[int], float]] = {}

    def claims(self) -> tuple[PhraseClaim[M], ...]:
        """Go through the words; return every place that tells of something, or denies it."""
        self.best()
        told = [
            PhraseClaim(self._table.meanings[meaning], tuple(sorted(chosen)), score)
            for meaning, claims in self._claims.items()
            for chosen, score in claims.items()
        ]
        denials = [
            PhraseClaim(self._table.meanings[meaning], tuple(sorted(chosen)), score, denied=True)
            for meaning, claims in self._denied_claims.items()
            for chosen, score in claims.items()
        ]
        return (*told, *denials)

    def best(self) -> tuple[Match[M], ...]:
        """Go through the words; return what they tell of, best first."""
        before, last = -1, ""
        self.stems.clear()
        for at, word in enumerate(self._words):
            key = self._key(at)
            self.stems.append(key)
            if word.text not in PASSED:
                if before >= 0 and self._words[before].clause == word.clause:
                    self._take(f"{last}-{key}", (before, at))
                    if self._words[before].denies:
                        self._take(f"{ANY_DENIAL}-{key}", (before, at))
                before, last = at, key
            self._take(key, (at,))
            self._take(f"{word.text}!", (at,))
            for one in self._also.get(word.text, ()):
                self._take(one, (at,))
            if not self._counts_else(at):
                for one in self._table.ranges_with(word.text):
                    self._take(one, (at,))
            if word.denies and key != ANY_DENIAL:
                self._take(ANY_DENIAL, (at,))
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
        """Return whether words are part of a longer match that is denied, or share a word with
        one that was said in one breath, as `leaks` in `no leaks, all joints are dry`."""
        return any(
            chosen < other or self._in_one_breath(other)
            for at in chosen
            for other in self._denials.get((meaning, at), ())
        )

    def _in_one_breath(self, chosen: frozenset[int]) -> bool:
        """Return whether nothing stands between the words but those that carry little."""
        first, last = min(chosen), max(chosen)
        return all(at in chosen or self._words[at].idle for at in range(first, last))

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

    def _counts_else(self, at: int) -> bool:
        """Return whether a number counts something that no phrase asks for."""
        return at + 1 < len(self._words) and self._words[at + 1].text in _OTHER_UNITS

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
        score = self._score(chosen, phrase.far) if len(chosen) == len(places) else 0.0
        claims = self._claims.setdefault(meaning, {})
        if not score or claims.get(chosen, 0.0) >= score or self._barred(phrase, chosen):
            return
        if not self._is_denied(chosen):
            claims[chosen] = score
            if len(claims) >= ENOUGH:
                self._settle(meaning, claims)
            return
        self._denied_claims.setdefault(meaning, {})[chosen] = score
        for at in chosen:
            self._denials.setdefault((meaning, at), set()).add(chosen)

    def _settle(self, meaning: int, claims: dict[frozenset[int], float]) -> None:
        for chosen in [one for one in claims if self._within_denial(meaning, one)]:
            del claims[chosen]
        if len(claims) >= ENOUGH:
            self._settled.add(meaning)

    def _score(self, chosen: frozenset[int], far: bool) -> float:
        """Return how well the words of a phrase fit it; 0 for words too far apart."""
        first, last = self._words[min(chosen)], self._words[max(chosen)]
        if first.sentence != last.sentence or max(chosen) - min(chosen) > ALONG:
            return 0.0
        telling = sum(not self._words[at].idle for at in chosen)
        between = max(0, last.at + (not last.idle) - first.at - telling)
        if between > ROOM + len(chosen) and not far:
            return 0.0
        wrong = len(chosen & self._misspelt)
        score = (len(chosen) - wrong * (1.0 - MISSPELT)) / (1.0 + APART * between)
        return score if far or score >= THRESHOLD * len(chosen) else 0.0

    def _barred(self, phrase: Phrase, chosen: frozenset[int]) -> bool:
        """Return whether a word that bars the phrase stands near, with no `and` in between."""
        if not phrase.bars:
            return False
        first, last = min(chosen), max(chosen)
        near = [*self._near(first, -1), *range(first, last + 1), *self._near(last, 1)]
        return any(
            self._words[at].stem in phrase.bars or self._pairs[at] in phrase.bars for at in near
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
