"""What a piece of talk may be about where no phrase is heard: the words that it shares."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from diag.model.rulebook import WordGroup
from diag.rulebook.language.phrases import BUT_NOT, groups_named
from diag.session.hearing.words import IDLE_WORDS, NOT, plain_words, stem

LEAST, FEWEST = 10.0, 2
"""What the shared words must weigh, in nats, for a meaning to be asked about; and how many."""

M = TypeVar("M")


@dataclass(frozen=True, slots=True)
class Vocabulary(Generic[M]):
    """For each stem the meanings whose texts hold it, and how telling it is."""

    holders: Mapping[str, Mapping[M, float]]
    """Stem to the meanings that it speaks for, with its weight for each."""

    @classmethod
    def of(cls, texts: Mapping[M, Iterable[str]], groups: Mapping[str, WordGroup]) -> Vocabulary[M]:
        """Take in the texts of each meaning; a word that few share tells more (inverse document
        frequency; see any handbook of information retrieval)."""
        held = {meaning: _stems(all_, groups) for meaning, all_ in texts.items()}
        shared = Counter(one for stems in held.values() for one in stems)
        found: dict[str, dict[M, float]] = {}
        for meaning, stems in held.items():
            for one in stems:
                found.setdefault(one, {})[meaning] = math.log(len(held) / shared[one])
        return cls(found)

    def nearest(self, stems: Iterable[str], most: int, among: Collection[M] = ()) -> list[M]:
        """Return the meanings that share the most telling words, at most so many, best first."""
        weights, shared = dict[M, float](), Counter[M]()
        for one in dict.fromkeys(stems):
            for meaning, weight in self.holders.get(one, {}).items():
                if not among or meaning in among:
                    weights[meaning] = weights.get(meaning, 0.0) + weight
                    shared[meaning] += 1
        least, fewest = (0.0, 1) if among else (LEAST, FEWEST)
        best = sorted(weights.items(), key=lambda item: -item[1])
        good = [one for one, weight in best if weight > least and shared[one] >= fewest]
        return good[:most]


def _stems(texts: Iterable[str], groups: Mapping[str, WordGroup]) -> set[str]:
    said = " . ".join(text.partition(BUT_NOT)[0] for text in texts)
    names = [name for name in groups_named(said.replace("/", " ")) if name in groups]
    named = [word for name in names for word in groups[name].words]
    words = plain_words(" ".join([said, *named]))
    return {stem(word) for word in words if word not in IDLE_WORDS or word in NOT}
