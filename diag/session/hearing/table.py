"""A table of meanings and the phrases that tell of each, to be listened for line after line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from diag.model.rulebook import WordGroup
from diag.rulebook.language.phrases import Saying
from diag.session.hearing.listening import Listening, Match
from diag.session.hearing.phrases import Phrase
from diag.session.hearing.spelling import Spelling
from diag.session.hearing.votes import BELIEVED, Votes
from diag.session.hearing.words import IDLE_WORDS, NOT, RANGE, plain_words, words_of

MOST_WORDS, MOST_LETTERS = 10_000, 100_000
"""Words, and characters, of a line that are listened to."""

M = TypeVar("M")


def _plain(texts: Iterable[str]) -> set[str]:
    return set(plain_words(" ".join(texts)))


@dataclass(slots=True)
class PhraseTable(Generic[M]):
    """Phrases by their meanings, ready to be listened for."""

    meanings: tuple[M, ...]
    phrases: tuple[tuple[int, Phrase], ...]
    """Each with the number of its meaning."""
    spelling: Spelling
    votes: Votes[M] | None = None
    """What words weigh, where a second listener hears what no phrase tells of."""
    _fills: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    """Stem to the phrases, and the slots of each, that it fills."""
    _ranges: list[tuple[float, float, str]] = field(default_factory=list)
    """Least and greatest number of each range, and the key that fills its slots."""

    @classmethod
    def of(
        cls,
        entries: Iterable[tuple[M, Iterable[str]]],
        right: Iterable[str] = (),
        groups: Mapping[str, WordGroup] | None = None,
        *,
        strict: bool = False,
    ) -> PhraseTable[M]:
        """Read a table; the words of the texts `right` are never taken for slips of others.

        Phrases are `strict` where idle words among others fill no slot.
        """
        listed = [
            (meaning, [Saying.read(text, groups or {}) for text in all_])
            for meaning, all_ in entries
        ]
        sayings = [saying for _, all_ in listed for saying in all_]
        said = {word for saying in sayings for slot in saying.slots for word in slot}
        bars = {word for saying in sayings for word in saying.bars}
        wanted, known = _plain(said), _plain(said | bars | set(right))
        phrases = [
            (number, Phrase.of(saying, strict))
            for number, (_, all_) in enumerate(listed)
            for saying in all_
        ]
        table = cls(
            tuple(meaning for meaning, _ in listed),
            tuple((number, phrase) for number, phrase in phrases if phrase.slots),
            Spelling.of(wanted - IDLE_WORDS - NOT, known | IDLE_WORDS | NOT),
        )
        for which, (_, phrase) in enumerate(table.phrases):
            for slot, stems in enumerate(phrase.slots):
                for one in stems:
                    table._fills.setdefault(one, []).append((which, slot))
        found = filter(None, map(RANGE.fullmatch, table._fills))
        table._ranges += [(float(one[1]), float(one[2]), one[0]) for one in found]
        return table

    def slots_of(self, key: str) -> list[tuple[int, int]]:
        """Return the phrases, by number, and the slots of each that a stem fills."""
        return self._fills.get(key, [])

    def ranges_with(self, word: str) -> list[str]:
        """Return the ranges that a number lies in; none for a word."""
        if not word[0].isdecimal():
            return []
        number = float(word.replace(",", "."))
        return [key for low, high, key in self._ranges if low <= number <= high]

    def matches(self, line: str) -> tuple[Match[M], ...]:
        """Return what a line tells of, each meaning once, best first, then in the table's order.

        Where votes are kept, phrases that go against them by far are not believed, where no phrase
        is heard the votes speak alone, and of what is heard by both they say what is told first.
        Takes time in proportion to the line's length.
        """
        words = words_of(line[:MOST_LETTERS])[:MOST_WORDS]
        listening = Listening(self, words)
        found = listening.best()
        if self.votes is None:
            return found
        if found and self.votes.best(words, listening.stems) < BELIEVED:
            return ()
        voted = [
            Match(vote.meaning, tuple(words[at].text for at in vote.places), vote.score)
            for vote in self.votes.told(words, listening.stems)
        ]
        heard = {one.meaning: one for one in found}
        told = [heard.get(vote.meaning, vote) for vote in voted]
        return (*told, *(one for one in found if one not in told))
