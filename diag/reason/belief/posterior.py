"""What is believed after the evidence: weights of hypotheses and their probabilities, as data.

A naive Bayes model over hypotheses of at most two faults: de Kleer and Williams, "Diagnosing
multiple faults", Artificial Intelligence 32 (1987).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from diag.reason.belief.links import Links

MOST_LOG = 600.0
"""Weights up to e to this, and their sum, are numbers that a float can hold."""

Pair = tuple[int, int]
"""Indices of two causes present together, the lower first."""
Several = tuple[int, ...]
"""Indices of two causes or more that are present together, the lower first: a pair, or more where
some are seen in plain sight."""


class Weights(NamedTuple):
    """The weight of each hypothesis in one unit for all; singles by index, pairs by indices.

    Only ratios mean anything. Where the unit is the weight of `nothing wrong` before the evidence,
    as a belief has it, an answer leaves the weight of all that it does not touch as it was, to the
    last bit; a probability would change with every answer, as its divisor does.
    """

    nothing: float
    unknown: float
    single: tuple[float, ...]
    pair: Mapping[Several, float]

    def beside(self, seen: Several) -> Weights:
        """Return the same hypotheses, each with the causes `seen` in plain sight beside it."""
        if not seen:
            return self
        single, pair = [0.0] * len(self.single), dict[Several, float]()
        if len(seen) == 1:
            single[seen[0]] = self.nothing
        else:
            pair[seen] = self.nothing
        for cause, weight in enumerate(self.single):
            if weight:
                pair[tuple(sorted((*seen, cause)))] = weight
        for both, weight in self.pair.items():
            pair[tuple(sorted((*seen, *both)))] = weight
        return Weights(0.0, self.unknown, tuple(single), pair)

    def present(self) -> list[float]:
        """Return, by index, the weight of a cause being present, alone or in a pair."""
        present = list(self.single)
        for several, weight in self.pair.items():
            present[several[0]] += weight
            present[several[1]] += weight
            if len(several) > 2:
                for cause in several[2:]:
                    present[cause] += weight
        return present

    def without(self, mended: Set[int]) -> Weights:
        """Return what is left once the `mended` causes (by index) are no longer there."""
        single, nothing, pair = list(self.single), self.nothing, dict[Several, float]()
        for cause in sorted(mended):
            nothing += single[cause]
            single[cause] = 0.0
        for several, weight in self.pair.items():
            left = tuple([cause for cause in several if cause not in mended])
            if len(left) > 1:
                pair[left] = pair.get(left, 0.0) + weight
            elif left:
                single[left[0]] += weight
            else:
                nothing += weight
        return Weights(nothing, self.unknown, tuple(single), pair)


class LogWeights(NamedTuple):
    """Natural log of each hypothesis' weight; singles by index, pairs by pair of indices."""

    nothing: float
    unknown: float
    single: list[float]
    pair: dict[Pair, float]

    def total(self) -> float:
        """Return the log of the sum of all weights."""
        return log_sum([self.nothing, self.unknown, *self.single, *self.pair.values()])

    def plain(self) -> Weights:
        """Return the weights, against nothing wrong unless they would run out of range."""
        top, exp = max(self.nothing, self.unknown, *self.single, *self.pair.values()), math.exp
        unit = top if abs(top) > MOST_LOG else 0.0
        return Weights(
            exp(self.nothing - unit),
            exp(self.unknown - unit),
            tuple([exp(log - unit) for log in self.single]),
            {pair: exp(log - unit) for pair, log in self.pair.items()},
        )


def log_sum(weights: Iterable[float]) -> float:
    """Return the log of the sum of weights given by their logs.

    >>> round(log_sum([math.log(2), math.log(3)]) - math.log(5), 12)
    0.0
    """
    logs, exp = list(weights), math.exp
    top = max(logs)
    return top + math.log(math.fsum([exp(log - top) for log in logs]))


@dataclass(frozen=True)
class Posterior:
    """Probabilities of each single cause, the pairs, nothing wrong and the unknown; they add to 1.

    `single` and `pair` are by index, for speed; `singles` and `pairs` give the same by id. What is
    seen in plain sight is part of every hypothesis, of the unknown too.
    """

    links: Links
    weights: Weights
    seen: Mapping[int, float] = field(default_factory=dict)
    """Index of a cause in plain sight to how far the look that shows it can be relied on."""

    @cached_property
    def scale(self) -> float:
        """Return what makes a probability of a weight: one over the sum of all weights."""
        weights = self.weights
        parts = (weights.nothing, weights.unknown, *weights.single, *weights.pair.values())
        return 1 / math.fsum(parts)

    @property
    def nothing(self) -> float:
        """Return the probability that nothing is wrong with the unit."""
        return self.weights.nothing * self.scale

    @property
    def unknown(self) -> float:
        """Return the probability of something that the rulebook does not know."""
        return self.weights.unknown * self.scale

    @cached_property
    def single(self) -> tuple[float, ...]:
        """Return, by index, the probability that a cause is present and is the only one."""
        scale = self.scale
        return tuple([weight * scale for weight in self.weights.single])

    @cached_property
    def pair(self) -> Mapping[Several, float]:
        """Return the probability of each pair, by indices, and of more with what is seen."""
        return {pair: weight * self.scale for pair, weight in self.weights.pair.items()}

    @property
    def singles(self) -> dict[str, float]:
        """Return the probability that a cause is present and is the only one, by id."""
        return dict(zip(self.links.causes, self.single, strict=True))

    @property
    def pairs(self) -> dict[tuple[str, ...], float]:
        """Return the probability of each pair, by ids, and of more with what is seen."""
        names = self.links.causes.__getitem__
        return {tuple(map(names, several)): share for several, share in self.pair.items()}

    @cached_property
    def causes(self) -> Mapping[str, float]:
        """Return the probability that a cause is present, alone or beside others, by id.

        One in plain sight is there as far as the look that shows it can be relied on.
        """
        shares = dict(zip(self.links.causes, self.present(), strict=True))
        return shares | self.in_sight

    @property
    def in_sight(self) -> dict[str, float]:
        """Return the causes in plain sight, by id, and how far the looks that show them hold."""
        return {self.links.causes[cause]: trust for cause, trust in self.seen.items()}

    @cached_property
    def ranking(self) -> tuple[tuple[str, float], ...]:
        """Return causes with their probabilities, the likeliest first, ties in order of id."""
        return tuple(sorted(self.causes.items(), key=lambda item: (-item[1], item[0])))

    def present(self) -> list[float]:
        """Return, by index, the probability that a cause is present, alone or beside others, if
        what was seen in plain sight is so."""
        present = [weight * self.scale for weight in self.weights.present()]
        for cause in self.seen:
            present[cause] = 1.0
        return present

    def without(self, mended: Set[int]) -> Posterior:
        """Return what is left once the `mended` causes (by index) are no longer there."""
        if not mended:
            return self
        seen = {cause: trust for cause, trust in self.seen.items() if cause not in mended}
        return Posterior(self.links, self.weights.without(mended), seen)

    def predict(self, sign: str) -> dict[str, float]:
        """Return the probability of each state of a sign, were it looked at now.

        Sparse: a hypothesis without a linked cause shares the leak's chances.
        """
        table = self.links.table(sign)
        seen = [cause for cause in self.seen if cause in table.given]
        beside = (
            table.chances(sorted(seen)) if seen else (1 / len(table.states),) * len(table.states)
        )
        rest, chances = 1 - self.unknown, [self.unknown * chance for chance in beside]
        shares = [(self.single[cause], given) for cause, given in table.given.items()]
        shares += [
            (share, table.chances(pair))
            for pair, share in self.pair.items()
            if not table.given.keys().isdisjoint(pair)
        ]
        shares.append((rest - sum(share for share, _ in shares), table.leak_chances))
        for share, given in shares:
            for state, chance in enumerate(given):
                chances[state] += share * chance
        return dict(zip(table.states, chances, strict=True))
