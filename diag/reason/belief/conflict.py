"""Readings that do not belong together, and the one to take again.

The measure is that of Jensen, Chamberlain, Nordahl and Jensen (1990), log of prod P(e_k) over
P(e_1..e_n): above 0, the evidence is less likely together than its parts are on their own. All
probabilities are given the complaint, the repairs and the defects in plain sight, over the same
hypotheses, pairs included, so that a slip is weighed against two faults at once.

To price a slip of each reading against its being meant is an idea of ours.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import exp, fsum, log
from operator import mul, neg, truediv

from diag.model.frozen import frozen
from diag.reason.belief.belief import Belief, Evidence
from diag.reason.belief.posterior import LogWeights, Pair, log_sum
from diag.reason.belief.weighed import Weighed

ACCUSED_AT = 1.45
"""Odds of a slip, against its being meant, at which a reading is to be taken again."""


Touching = dict[int, list[tuple[int, Pair]]]
"""Cause to the pairs that it belongs to, each with its place among all hypotheses."""


@frozen
class Suspect:
    """One piece of evidence, and what would follow from leaving it out."""

    evidence: Evidence
    relief: float
    """By how much the measure falls without it (natural log): its own conflict with the rest."""
    slip_odds: float
    """Odds that it is a slip against its being meant, given all the rest."""


@frozen
class Conflict:
    """The measure (natural log) and every piece of evidence, the most suspect first."""

    measure: float
    suspects: tuple[Suspect, ...]


def conflict(belief: Belief, least_slip: float = 0.0) -> Conflict:
    """Return how badly the evidence fits together, and what leaving out each piece would do.

    The chance of a slip, before the rest is known, is what a piece lacks in reliability, and at
    least `least_slip`; a slip shows any state of the sign alike.
    """
    pairs = tuple(belief.leading_weights.pair)
    before = _flat(belief.of_defects().log_weights(pairs))
    after = _flat(belief.leading_weights)
    prior, whole = log_sum(before), log_sum(after)
    suspects, measure, touching = [], prior - whole, _touching(belief.leading_weights)
    came, now = (
        Shares([exp(log - total) for log in logs])
        for logs, total in ((before, prior), (after, whole))
    )
    for item in belief.used.values():
        one = item.evidence
        if belief.shows_defect(one):  # Only another look takes it back.
            continue
        seen, meant = (_likelihoods(each, touching) for each in (item, item.sure))
        own = log(came.total_with(map(mul, came.at(seen), seen.values()), seen))
        left = list(map(truediv, now.at(seen), seen.values()))
        rest = now.total_with(left, seen)
        kept = now.total_with(map(mul, left, meant.values()), seen) * exp(item.sure.log_leak)
        slip = max(least_slip, 1 - one.reliability)
        odds = slip / (1 - slip) * rest / kept / len(item.look.table.states)
        suspects.append(Suspect(one, own + log(rest), odds))
        measure += own
    suspects.sort(key=lambda suspect: (-suspect.slip_odds, suspect.evidence))
    return Conflict(measure, tuple(suspects))


class Shares:
    """The share of each hypothesis, of which a piece of evidence changes but a few.

    Their sum is kept in parts that lose nothing, so that a few may be changed in it with the same
    result as if all were added up anew (Shewchuk, "Adaptive precision floating-point arithmetic",
    Discrete & Computational Geometry 18, 1997).
    """

    def __init__(self, shares: list[float]) -> None:
        self._shares = shares
        self._sum: list[float] = []
        while rest := fsum([*shares, *map(neg, self._sum)]):
            self._sum.append(rest)

    def at(self, places: Iterable[int]) -> list[float]:
        """Return the shares at these places."""
        return [self._shares[place] for place in places]

    def total_with(self, changed: Iterable[float], places: Iterable[int]) -> float:
        """Return the sum of all shares, with those at these places changed."""
        return fsum([*self._sum, *map(neg, self.at(places)), *changed])


def _flat(weights: LogWeights) -> list[float]:
    return [weights.nothing, weights.unknown, *weights.single, *weights.pair.values()]


def _touching(weights: LogWeights) -> Touching:
    found: Touching = {}
    for place, both in enumerate(weights.pair, 2 + len(weights.single)):
        for cause in both:
            found.setdefault(cause, []).append((place, both))
    return found


def _likelihoods(item: Weighed, touching: Touching) -> dict[int, float]:
    """Return the likelihood, against that of the leak, under each hypothesis where it may be
    another, by its place as `_flat` orders."""
    found, ratio = {1: exp(item.unknown)}, item.log_likelihood_ratio
    for cause, log_ratio in ratio.items():
        found[2 + cause] = exp(log_ratio)
    for cause in ratio.keys() & touching.keys():
        for place, (one, other) in touching[cause]:
            found[place] = exp(item.of_pair(one, other))
    return found


def accused(found: Conflict, least_odds: float = ACCUSED_AT) -> tuple[Suspect, ...]:
    """Return the evidence to be taken again, if it can be: the likely slips, the likeliest first.

    The measure is no gate here: readings that confirm one another draw it far below 0, and so
    hide the one among them that does not fit; and a state that nothing explains is as odd on
    its own as among the rest, which brings no relief.
    """
    return tuple(suspect for suspect in found.suspects if suspect.slip_odds >= least_odds)
