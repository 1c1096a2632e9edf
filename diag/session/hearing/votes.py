"""A second listener: words vote, each with its weight, for danger or against it.

Phrases hear what was thought of; weights, worked out from sentences, hear what nobody worded yet.
What votes is told at `votes_of`. The votes of a run of sentences are added up, each once: enough of
them tell of a danger by themselves, and with far too few even a phrase is not believed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Generic, TypeVar

from diag.model.rulebook import WordGroup
from diag.session.hearing.denial import denied
from diag.session.hearing.words import IDLE_WORDS, NOT, Word, stem

MOST_WORDS = 1500
"""Words of a line that vote."""
NEAR = 4
"""How many telling words back the other word of a pair may be."""
MOST_SENTENCES = 4
"""Sentences, as `words_of` tells them apart, that are weighed together."""
LONG, ENOUGH = 8, 5
"""Telling words of a sentence beyond which its clauses are weighed too, and how many at least."""
CLAIMS = 1.0
"""What the votes must come to where no phrase tells of the same line."""
BELIEVED = -0.5
"""What they must come to for a phrase to be believed."""
LEAST = 2
"""Voting words without which nothing is told: a single one may be the slip of a name."""
MOST_TOLD = 4
"""Words by which a vote is said to be told."""
ANY = "any danger"
"""The key under which rules keep the votes for danger of any kind."""
DENIED = "not-"
"""What stands before a word, or a kind of word, that is denied."""
BEGIN = "*"
"""What stands for a word that every line has."""
KIND = "KIND-"
"""What the names of word groups begin with that are kinds of words."""
START, END = "^", "$"
"""What stands before the first word of a sentence, and behind its last."""
PARTS = (4, 5)
"""Letters of the pieces of a word that vote, its two ends counted as letters."""
RANGES = (1.0, 10.0, 100.0, 1000.0)

M = TypeVar("M")


@dataclass(frozen=True, slots=True)
class VotingWord:
    """A word of a line as it votes."""

    at: int
    """Where it stands in the line."""
    text: str
    stem: str
    """Its stem, or the range that a number lies in."""
    tells: bool
    """Whether it carries more than a link between others."""
    denied: str
    """`DENIED`, or nothing."""
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Vote(Generic[M]):
    """What the votes of some sentences tell of, by which words, and what they come to."""

    meaning: M
    places: tuple[int, ...]
    score: float


@dataclass(frozen=True, slots=True)
class Votes(Generic[M]):
    """What each word, pair of words or kind of word weighs."""

    any: Mapping[str, float]
    """For danger of any kind; below 0 against it."""
    each: Mapping[M, Mapping[str, float]]
    """For each meaning, beside the others."""
    kinds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Stem to the kinds of word that it is of."""

    def best(self, words: Sequence[Word], stems: Sequence[str]) -> float:
        """Return what the votes of the sentences that weigh most come to."""
        return max((self._sum(run) for run in runs(words, stems, self.kinds)), default=0.0)

    def told(self, words: Sequence[Word], stems: Sequence[str]) -> tuple[Vote[M], ...]:
        """Return what some sentences tell of by their votes alone, each meaning once, best first.

        What one run of sentences tells of is the same whatever stands before or behind it.
        """
        found: dict[M, Vote[M]] = {}
        for run in runs(words, stems, self.kinds):
            score = self._sum(run)
            if score >= CLAIMS and self.each and len(run.words) >= LEAST:
                meaning = max(self.each, key=lambda one: _add(self.each[one], run.votes))
                if meaning not in found or found[meaning].score < score:
                    found[meaning] = Vote(meaning, self._heaviest(run), score)
        return tuple(sorted(found.values(), key=lambda vote: -vote.score))

    def _sum(self, run: VotingRun) -> float:
        return _add(self.any, run.votes) + self.any.get(BEGIN, 0.0)

    def _heaviest(self, run: VotingRun) -> tuple[int, ...]:
        """Return where what speaks most for danger stands, or the first word where pairs do."""
        weighed = [(-_add(self.any, dict.fromkeys(_alone(one))), one.at) for one in run.words]
        best = [at for weight, at in sorted(weighed)[:MOST_TOLD] if weight < 0]
        return tuple(sorted(best or [run.words[0].at]))


@dataclass(frozen=True, slots=True)
class VotingRun:
    """Sentences, or clauses, that are weighed together: their telling words, and what votes."""

    words: tuple[VotingWord, ...]
    votes: dict[str, None]


def read_votes(lines: Iterable[str]) -> dict[str, float]:
    """Read votes as rules write them: a weight, and behind it all that weighs just that.

    >>> read_votes(["0.5 drip drip+floor", "-1 not-drip"])
    {'drip': 0.5, 'drip+floor': 0.5, 'not-drip': -1.0}
    """
    found = {}
    for line in lines:
        weight, *keys = line.split()
        found.update(dict.fromkeys(keys, float(weight)))
    return found


def kinds_of(groups: Mapping[str, WordGroup]) -> dict[str, tuple[str, ...]]:
    """Return the kinds that each stem is of, by the word groups whose names begin with `KIND`."""
    found: dict[str, list[str]] = {}
    for name, group in groups.items():
        if name.startswith(KIND):
            for one in dict.fromkeys(map(stem, group.words)):
                found.setdefault(one, []).append(name.removeprefix(KIND))
    return {one: tuple(kinds) for one, kinds in found.items()}


def votes_of(said: Sequence[VotingWord]) -> dict[str, None]:
    """Return what votes in words that follow each other in one sentence, each once, in order.

    That is each word and each kind of word, both denied where they are; pieces of words (`~leak`);
    two words that follow each other (`drip_on`); near each other, two words (`drip+floor`) and a
    kind with a word (`LEAK+floor`); and two kinds anywhere (`FLOOR&LEAK`).
    """
    found: dict[str, None] = {}
    for one in said:
        found.update(dict.fromkeys(_alone(one)))
    found.update(dict.fromkeys(f"{one.stem}_{other.stem}" for one, other in pairwise(said)))
    telling = [one for one in said if one.tells]
    for at, one in enumerate(telling):
        for other in telling[max(0, at - NEAR) : at]:
            found[_pair(one.denied + one.stem, other.denied + other.stem)] = None
            _beside(one, other, found)
            _beside(other, one, found)
    kinds = sorted({one.denied + kind for one in said for kind in one.kinds})
    for at, kind in enumerate(kinds):
        found.update(dict.fromkeys(f"{other}&{kind}" for other in kinds[:at]))
    return found


def _alone(one: VotingWord) -> Iterator[str]:
    """Give what votes in a word by itself."""
    if one.text in (START, END):
        return
    yield one.denied + one.stem if one.tells else one.text
    yield from (one.denied + kind for kind in one.kinds)
    whole = f"<{one.text}>"
    for size in PARTS:
        yield from (f"~{whole[at : at + size]}" for at in range(len(whole) - size + 1))


def _pair(one: str, other: str) -> str:
    return f"{one}+{other}" if one < other else f"{other}+{one}"


def _beside(one: VotingWord, other: VotingWord, found: dict[str, None]) -> None:
    for kind in one.kinds:
        found[f"{kind}+{other.denied}{other.stem}"] = None


def runs(
    words: Sequence[Word], stems: Sequence[str], kinds: Mapping[str, tuple[str, ...]]
) -> Iterator[VotingRun]:
    """Give each run of words that is weighed together: sentences in a row, and clauses in a row
    of a long one, so that much talk does not outvote what is said in passing."""
    sentences = [one for one in _sentences(words, stems, kinds) if any(s.tells for s in one)]
    alone = [_run(sentence) for sentence in sentences]
    for first in range(len(alone)):
        run = VotingRun((), {})
        for one in alone[first : first + MOST_SENTENCES]:
            run = VotingRun(run.words + one.words, run.votes | one.votes)
            yield run
    for sentence in sentences:
        yield from map(_run, _clauses(words, sentence))


def _run(said: Sequence[VotingWord]) -> VotingRun:
    return VotingRun(tuple(one for one in said if one.tells), votes_of(said))


def _clauses(words: Sequence[Word], said: Sequence[VotingWord]) -> Iterator[Sequence[VotingWord]]:
    """Give, from each clause of a long sentence on, as many as hold enough telling words."""
    inner = said[1:-1]
    if sum(one.tells for one in inner) <= LONG:
        return
    clause = [words[one.at].clause for one in inner]
    starts = [at for at in range(len(inner)) if not at or clause[at] != clause[at - 1]]
    for start in starts:
        for end in (*starts, len(inner)):
            if end > start and sum(one.tells for one in inner[start:end]) >= ENOUGH:
                yield inner[start:end]
                break


def _sentences(
    words: Sequence[Word], stems: Sequence[str], kinds: Mapping[str, tuple[str, ...]]
) -> list[list[VotingWord]]:
    """Return the sentences of a line, each between its two ends."""
    found: dict[int, list[VotingWord]] = {}
    for at, word in enumerate(words[:MOST_WORDS]):
        tells = word.text not in NOT and word.text not in IDLE_WORDS
        key = _range(word.text) if word.text[0].isdecimal() else stems[at]
        away = DENIED if tells and denied(words, frozenset({at})) else ""
        one = VotingWord(at, word.text, key, tells, away, kinds.get(key, ()))
        found.setdefault(word.sentence, []).append(one)
    return [[_edge(START), *said, _edge(END)] for said in found.values()]


def _edge(which: str) -> VotingWord:
    return VotingWord(-1, which, which, False, "", ())


def _range(number: str) -> str:
    """Return the range that a number lies in, by its lower end.

    >>> _range("0"), _range("12,5"), _range("2500")
    ('0', '10', '1000')
    """
    value = int(number.partition(",")[0].partition(".")[0])  # the ranges begin at whole numbers
    return f"{max((low for low in RANGES if low <= value), default=0.0):.0f}"


def _add(weights: Mapping[str, float], votes: Iterable[str]) -> float:
    return sum(weights.get(vote, 0.0) for vote in votes)
