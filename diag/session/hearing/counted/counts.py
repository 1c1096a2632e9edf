"""How often words were said of each meaning, and what a line is likely to tell of by that.

Naive Bayes with counts of words (the multinomial model; McCallum and Nigam, A comparison of event
models for naive Bayes text classification, 1998), every count one more than it is (Laplace).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from diag.session.hearing.counted.tokens import DENIED, spread
from diag.session.hearing.votes import BEGIN

TALK = "nothing"
"""The key of talk that tells of nothing."""
TEMPER = 0.7
"""How far chances are drawn together: tokens of one line tell much the same, and words that come
in twos count twice by naive Bayes, so that its odds are taken to the power of 1 / (this * root of
their number)."""

M = TypeVar("M")


@dataclass(frozen=True, slots=True)
class Counts(Generic[M]):
    """Meanings, and what each word, kind or piece speaks for each."""

    meanings: tuple[M, ...]
    shares: tuple[float, ...]
    """Logarithm of the share of all sentences that tell of each meaning."""
    totals: tuple[float, ...]
    """Logarithm of all that was counted for each meaning, one more for everything counted."""
    speaks: Mapping[str, Sequence[tuple[int, float]]]
    """What is counted, to the meanings that hold it: their number, and the logarithm of its
    count plus one."""
    kinds: Mapping[str, tuple[str, ...]]

    @classmethod
    def read(cls, texts: Mapping[M, str], kinds: Mapping[str, tuple[str, ...]]) -> Counts[M]:
        """Read counts as rules write them: a count, and behind it the words so often said.

        >>> Counts.read({"wet": "2 * drip; 1 floor", "loud": "1 * ring"}, {}).meanings
        ('wet', 'loud')
        """
        made_of: dict[str, list[str]] = {}
        sentences, totals = list[int](), list[int]()
        speaks: dict[str, list[tuple[int, float]]] = {}
        for number, text in enumerate(texts.values()):
            said = _counted(text)
            sentences.append(said.pop(BEGIN, 1))
            full = _full(said, made_of, kinds)
            totals.append(sum(full.values()))
            for one, count in full.items():
                speaks.setdefault(one, []).append((number, math.log(count + 1)))
        return cls(
            tuple(texts),
            tuple(math.log(one / sum(sentences)) for one in sentences),
            tuple(math.log(one + len(speaks)) for one in totals),
            speaks,
            kinds,
        )

    def known(self, said: Iterable[str]) -> list[str]:
        """Return the tokens that were counted."""
        return [one for one in said if one in self.speaks]

    def weights(self, said: Iterable[str]) -> list[float]:
        """Return, for each meaning, the logarithm of its share times the chance of the tokens."""
        heard = {
            one: times for one, times in spread(said, self.kinds).items() if one in self.speaks
        }
        many = sum(heard.values())
        found = [
            share - many * total for share, total in zip(self.shares, self.totals, strict=True)
        ]
        for one, times in heard.items():
            for number, logarithm in self.speaks[one]:
                found[number] += times * logarithm
        return found

    def chances(self, said: Sequence[str]) -> list[tuple[M, float]]:
        """Return each meaning with its chance, likeliest first; they add up to 1.

        A word that is denied speaks against what it would speak for.
        """
        weights = self.weights(said)
        for one in _denied(said):
            for number, logarithm in self.speaks.get(one, ()):
                weights[number] -= logarithm
        many = sum(spread(self.known(said), self.kinds).values())
        best, draw = max(weights), TEMPER * math.sqrt(max(1, many))
        odds = [math.exp((one - best) / draw) for one in weights]
        ranked = sorted(range(len(odds)), key=lambda one: (-odds[one], one))
        return [(self.meanings[one], odds[one] / sum(odds)) for one in ranked]

    def tellers(self, said: Sequence[str], meaning: M) -> list[int]:
        """Return where the tokens stand that speak for a meaning, the loudest first."""
        number = self.meanings.index(meaning)
        loud = [(self._loud(one, number), at) for at, one in enumerate(said)]
        return [at for weight, at in sorted(loud, key=lambda one: (-one[0], one[1])) if weight]

    def _loud(self, token: str, number: int) -> float:
        """Return how loud a token speaks for a meaning: less where it speaks for many."""
        holders = self.speaks.get(token, ())
        return dict(holders).get(number, 0.0) / max(1, len(holders))


def _counted(text: str) -> dict[str, int]:
    found = {}
    for part in text.split(";"):
        count, *said = part.split()
        found.update(dict.fromkeys(said, int(count)))
    return found


def _full(
    said: Mapping[str, int], made_of: dict[str, list[str]], kinds: Mapping[str, tuple[str, ...]]
) -> dict[str, int]:
    """Return the counts of words with those of what each is made of, which is kept."""
    found: dict[str, int] = {}
    for token, count in said.items():
        if token not in made_of:
            made_of[token] = list(spread([token], kinds).elements())
        for one in made_of[token]:
            found[one] = found.get(one, 0) + count
    return found


def _denied(said: Iterable[str]) -> Iterator[str]:
    return (one.removeprefix(DENIED) for one in said if one.startswith(DENIED))
