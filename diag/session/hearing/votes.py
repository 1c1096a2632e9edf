"""A second listener: words vote, each with its weight, for danger or against it.

Phrases hear what was thought of; weights, worked out from sentences, hear what nobody worded yet.
What votes are words, and any two of them near each other in one sentence, each once. A word that is
denied votes as its denial, `not-leak`, and a number as the range that it lies in. The votes of a
run of sentences are added up: enough of them tell of a danger by themselves, and with far too few
even a phrase is not believed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from diag.session.hearing.denial import denied
from diag.session.hearing.words import IDLE_WORDS, NOT, Word

MOST_WORDS = 1500
"""Words of a line that vote."""
NEAR = 4
"""How many voting words back the other word of a pair may be."""
MOST_SENTENCES = 4
"""Sentences, as `words_of` tells them apart, that are weighed together."""
LONG, ENOUGH = 8, 5
"""Voting words of a sentence beyond which its clauses are weighed too, and how many at least."""
CLAIMS = 1.5
"""What the votes must come to where no phrase tells of the same line."""
BELIEVED = -0.5
"""What they must come to for a phrase to be believed."""
MOST_TOLD = 4
"""Words by which a vote is said to be told."""
ANY = "any danger"
"""The key under which rules keep the votes for danger of any kind."""
DENIED = "not-"
"""What stands before a word that is denied. Where such a word speaks for danger, as in `nobody
knows`, the denial is part of what is told; otherwise it takes it away."""
BEGIN = "*"
"""What stands for a word that every line has."""
RANGES = (1.0, 10.0, 100.0, 1000.0)

M = TypeVar("M")
Voting = tuple[int, str]
"""Where a word stands, and what votes there."""


@dataclass(frozen=True, slots=True)
class Vote(Generic[M]):
    """What the votes of some sentences tell of, by which words, and what they come to."""

    meaning: M
    places: tuple[int, ...]
    score: float


@dataclass(frozen=True, slots=True)
class Votes(Generic[M]):
    """What each word, or pair of words, weighs."""

    any: Mapping[str, float]
    """For danger of any kind; below 0 against it."""
    each: Mapping[M, Mapping[str, float]]
    """For each meaning, beside the others."""

    def best(self, words: Sequence[Word], stems: Sequence[str]) -> float:
        """Return what the votes of the sentences that weigh most come to."""
        return max((self._sum(run) for run in runs(words, stems)), default=0.0)

    def told(self, words: Sequence[Word], stems: Sequence[str]) -> tuple[Vote[M], ...]:
        """Return what some sentences tell of by their votes alone, each meaning once, best first.

        What one run of sentences tells of is the same whatever stands before or behind it.
        """
        found: dict[M, Vote[M]] = {}
        for run in runs(words, stems):
            score = self._sum(run)
            if score >= CLAIMS and self.each:
                votes = dict.fromkeys(key for _, key in run)
                meaning = max(self.each, key=lambda one: _add(self.each[one], votes))
                heaviest = self._heaviest(run)
                places = tuple(sorted(at for at, _ in heaviest))
                knowingly = any(key.startswith(DENIED) for _, key in heaviest)
                if not knowingly and denied(words, frozenset(places)):
                    continue
                if meaning not in found or found[meaning].score < score:
                    found[meaning] = Vote(meaning, places, score)
        return tuple(sorted(found.values(), key=lambda vote: -vote.score))

    def _sum(self, run: Sequence[Voting]) -> float:
        return _add(self.any, voting([key for _, key in run])) + self.any.get(BEGIN, 0.0)

    def _heaviest(self, run: Sequence[Voting]) -> list[Voting]:
        """Return what speaks most for danger, or the first word where only pairs do."""
        ranked = sorted(run, key=lambda one: -self.any.get(one[1], 0.0))
        return [one for one in ranked[:MOST_TOLD] if self.any.get(one[1], 0.0) > 0] or ranked[:1]


def read_votes(lines: Iterable[str]) -> dict[str, float]:
    """Read votes as rules write them: a weight, and behind it all words that weigh just that.

    >>> read_votes(["0.5 drip drip+floor", "-1 not-drip"])
    {'drip': 0.5, 'drip+floor': 0.5, 'not-drip': -1.0}
    """
    found = {}
    for line in lines:
        weight, *keys = line.split()
        found.update(dict.fromkeys(keys, float(weight)))
    return found


def voting(keys: Sequence[str]) -> dict[str, None]:
    """Return the words that vote, and the pairs of those near each other, each once, in order.

    >>> list(voting(["pipe", "drip"]))
    ['pipe', 'drip', 'drip+pipe']
    """
    found = dict.fromkeys(keys)
    for at, key in enumerate(keys):
        for other in keys[max(0, at - NEAR) : at]:
            found[f"{key}+{other}" if key < other else f"{other}+{key}"] = None
    return found


def runs(words: Sequence[Word], stems: Sequence[str]) -> Iterator[list[Voting]]:
    """Give each run of words that is weighed together: sentences in a row, and clauses in a row
    of a long one, so that much talk does not outvote what is said in passing."""
    sentences = _sentences(words, stems)
    for first in range(len(sentences)):
        run: list[Voting] = []
        for sentence in sentences[first : first + MOST_SENTENCES]:
            run = run + sentence
            yield run
    for sentence in sentences:
        if len(sentence) > LONG:
            yield from _clauses(words, sentence)


def _clauses(words: Sequence[Word], sentence: Sequence[Voting]) -> Iterator[list[Voting]]:
    """Give, from each clause on, as many as hold enough words."""
    last = -1
    for start, (at, _) in enumerate(sentence):
        if words[at].clause == last:
            continue
        last = words[at].clause
        end = start + ENOUGH
        while end < len(sentence) and _clause(words, sentence[end]) == _clause(
            words, sentence[end - 1]
        ):
            end += 1
        if end <= len(sentence):
            yield list(sentence[start:end])


def _clause(words: Sequence[Word], one: Voting) -> int:
    return words[one[0]].clause


def _sentences(words: Sequence[Word], stems: Sequence[str]) -> list[list[Voting]]:
    found: dict[int, list[Voting]] = {}
    for at, word in enumerate(words[:MOST_WORDS]):
        if word.text in NOT or word.text in IDLE_WORDS:
            continue
        key = _range(word.text) if word.text[0].isdecimal() else stems[at]
        if denied(words, frozenset({at})):
            key = f"{DENIED}{key}"
        found.setdefault(word.sentence, []).append((at, key))
    return list(found.values())


def _range(number: str) -> str:
    """Return the range that a number lies in, by its lower end.

    >>> _range("0"), _range("12,5"), _range("2500")
    ('0', '10', '1000')
    """
    value = int(number.partition(",")[0].partition(".")[0])  # the ranges begin at whole numbers
    return f"{max((low for low in RANGES if low <= value), default=0.0):.0f}"


def _add(weights: Mapping[str, float], votes: Iterable[str]) -> float:
    return sum(weights.get(vote, 0.0) for vote in votes)
