"""Belief in causes: the posterior over single causes, pairs, nothing wrong and the unknown.

Weights are natural logs relative to `nothing wrong with the unit`, so that a sign touches only
the causes linked to it: under every other hypothesis it is as likely as with no cause at all.
A belief is a value; each act returns another, and equals the belief made afresh from the same
evidence, to the last bit.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import NamedTuple

from diag.reason.belief.evidence import (
    Earlier,
    Evidence,
    Key,
    Repaired,
    Weighed,
    key_of,
    let_in,
    weigh_evidence,
)
from diag.reason.belief.links import LEAST, Links
from diag.reason.belief.posterior import Pair, Posterior, Weights
from diag.reason.belief.priors import Priors

__all__ = ["Belief", "Evidence", "Posterior", "Priors", "RepairDone", "start"]


MOST_LOG = 600.0
"""Weights up to e to this, and their sum, are numbers that a float can hold."""


@dataclass(frozen=True, slots=True)
class RepairDone:
    """A cause was repaired after the readings of `stage`; did the proof fail, or hold in part?"""

    cause: str
    stage: int
    failed: bool


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


def start(links: Links, priors: Priors, complaint: str = "", leading: int = 12) -> Belief:
    """Return the belief before any evidence; pairs are formed among `leading` causes."""
    return Belief(links, priors, complaint, leading)._afresh()


@dataclass(frozen=True, slots=True)
class Belief:
    """What was said, excluded and repaired, and the weight of each single cause after it."""

    links: Links
    priors: Priors
    complaint: str
    leading: int
    said: frozenset[Evidence] = frozenset()
    repairs: tuple[RepairDone, ...] = ()
    excluded: frozenset[str] = frozenset()
    used: Mapping[Key, Weighed] = field(default_factory=dict)
    """The evidence that counts, in order of stage and sign."""
    bare: tuple[float, ...] = ()
    """Log weight of each single cause by index, before any sign was looked at."""
    weights: tuple[float, ...] = ()
    """The same after the evidence, without what failed proofs say."""

    def observe(self, *evidence: Evidence) -> Belief:
        """Take in evidence; what was said before of the same sign and stage is corrected."""
        keys = set(map(key_of, evidence))
        kept = [one for one in self.said if key_of(one) not in keys]
        return self._revised(frozenset([*kept, *evidence]))

    def withdraw(self, sign: str, stage: int = 0) -> Belief:
        """Leave out whatever was said of a sign at a stage."""
        return self._revised(frozenset(e for e in self.said if key_of(e) != (stage, sign)))

    def seen(self, evidence: Iterable[Evidence]) -> Belief:
        """Replace all that was said; a sign in two states at once is no evidence."""
        return self._revised(frozenset(evidence))

    def excluding(self, causes: Iterable[str]) -> Belief:
        """Rule out exactly these causes, as only a `certain` rule may; `KeyError` if unknown."""
        ids = frozenset(causes)
        for cause in ids:
            self.links.cause_index[cause]
        return replace(self, excluded=ids)._afresh()

    def repair_failed(self, cause: str, stage: int) -> Belief:
        """Take in that `cause` was repaired after the readings of `stage` and the proof failed."""
        return self.with_repairs((*self.repairs, RepairDone(cause, stage, failed=True)))

    def repair_proved_in_part(self, cause: str, stage: int) -> Belief:
        """Take in that `cause` was repaired after `stage` and that helped in part."""
        return self.with_repairs((*self.repairs, RepairDone(cause, stage, failed=False)))

    def with_repairs(self, repairs: Iterable[RepairDone]) -> Belief:
        """Replace all repairs done; `KeyError` for an unknown cause."""
        done = tuple(repairs)
        for repair in done:
            self.links.cause_index[repair.cause]
        return replace(self, repairs=done)._afresh()

    def mended(self, stage: float = math.inf) -> frozenset[int]:
        """Return the indices of the causes repaired before `stage`, or so far."""
        return frozenset(self._repaired(stage).causes)

    def _repaired(self, stage: float) -> Repaired:
        first: dict[int, bool] = {}
        for repair in self.repairs:
            if repair.stage < stage:
                first.setdefault(self.links.cause_index[repair.cause], repair.failed)
        return Repaired(tuple(first), frozenset(cause for cause in first if first[cause]))

    def posterior(self) -> Posterior:
        """Return the probabilities of what was wrong when the unit came in."""
        return Posterior(self.links, self.log_weights(self.leading_pairs()).plain())

    def remaining(self) -> Posterior:
        """Return the probabilities of what is wrong now, after the repairs so far."""
        return self.posterior().without(self.mended())

    def leading_pairs(self) -> tuple[Pair, ...]:
        """Return the pairs worth the time, in order of index.

        They are formed among the weightiest half of the leading causes, the best explainer of
        each state seen that is not a sign's first, and the next weightiest until there are
        enough. A cause repaired is paired with every other: where it was not all that was wrong,
        the rest may be what it hid, which nothing spoke for before.
        """
        if self.leading < 2:
            return ()
        weights = self.weights
        top = heapq.nlargest(self.leading, range(len(weights)), key=weights.__getitem__)
        chosen = dict.fromkeys(top[: (self.leading + 1) // 2])
        for item in self.used.values():
            raised = [cause for cause, ratio in item.ratio.items() if ratio > 0]
            if item.state and raised:
                chosen[min(raised, key=lambda cause: (-weights[cause], cause))] = None
        chosen.update(dict.fromkeys(top))
        possible = {cause for cause, weight in enumerate(weights) if weight > -math.inf}
        able = sorted(possible.intersection(list(chosen)[: self.leading]))
        pairs = set(combinations(able, 2))
        for done in self.mended() & possible:
            pairs.update((min(done, rest), max(done, rest)) for rest in possible - {done})
        return tuple(sorted(pairs))

    def log_weights(self, pairs: Collection[Pair]) -> LogWeights:
        """Return the log weight of every hypothesis, with these pairs, relative to no evidence
        and nothing wrong."""
        priors = self.priors
        unknown = _log(priors.unknown_odds) + sum([item.unknown for item in self.used.values()])
        if self.complaint:
            unknown += _log(priors.complaint_unknown) - _log(priors.complaint_nothing)
        pair = self._pair_weights(pairs) if pairs else {}
        nothing, single = 0.0, list(self.weights)
        for repair in self.repairs:
            if repair.failed:
                nothing += self.log_proof(repair)
                for cause in self.mended():
                    single[cause] += self.log_proof(repair, (cause,))
                pair = {both: log + self.log_proof(repair, both) for both, log in pair.items()}
        return LogWeights(nothing, unknown, single, pair)

    def log_proof(self, repair: RepairDone, causes: Iterable[int] = ()) -> float:
        """Return the log likelihood of a failed proof if these causes were all that was wrong.

        A proof fails for sure while a cause is left, seldom once all are repaired.
        """
        in_vain = self.mended(repair.stage + 1).issuperset(causes)
        return _log(self.priors.repair_fails) if in_vain else 0.0

    def log_evidence(self, pairs: Iterable[Pair]) -> float:
        """Return the log probability of the evidence in use, given complaint and repairs, over
        all hypotheses with these pairs."""
        pairs = tuple(pairs)
        alone = sum(item.alone for item in self.used.values())
        before = self.seen(()).log_weights(pairs).total()
        return self.log_weights(pairs).total() + alone - before

    def log_complaint(self, *causes: int) -> float:
        """Return the log likelihood of the complaint under the causes, less nothing wrong."""
        if not self.complaint:
            return 0.0
        priors, silent = self.priors, 1.0
        for cause in causes:
            listed = self.links.complaints[cause]
            silent *= 1 - listed.get(self.complaint, priors.complaint_anyway)
        return math.log(max(1 - silent, LEAST)) - _log(priors.complaint_nothing)

    def log_prior(self, cause: int) -> float:
        """Return the log odds of a cause against nothing wrong, before complaint and evidence."""
        return -math.inf if self._is_out(cause) else _log(self.links.odds[cause])

    def _is_out(self, cause: int) -> bool:
        return self.links.causes[cause] in self.excluded

    def _pair_weights(self, pairs: Collection[Pair]) -> dict[Pair, float]:
        """Add the weights of the halves, and put right the complaint and the shared signs."""
        weights, complaint = self.weights, self.log_complaint
        pair = {both: weights[both[0]] + weights[both[1]] for both in pairs}
        if self.complaint:
            halves = {cause: complaint(cause) for both in pair for cause in both}
            for i, j in pair:
                pair[i, j] += complaint(i, j) - halves[i] - halves[j]
        causes = sorted({cause for both in pair for cause in both})
        for item in self.used.values():
            ratio = item.ratio
            linked = [cause for cause in causes if cause in ratio]
            shared = [*combinations(linked, 2)]
            # What a repaired cause shows once more as the only one goes unseen beside another.
            for done in ratio.keys() & set(item.repaired.causes):
                shared += [(min(done, one), max(done, one)) for one in causes if one not in ratio]
            for i, j in shared:
                if (i, j) in pair:
                    halves_ratio = ratio.get(i, 0.0) + ratio.get(j, 0.0)
                    pair[i, j] += item.of_pair(i, j) - halves_ratio
        return pair

    def _revised(self, said: frozenset[Evidence]) -> Belief:
        """Weigh only what is new or gone, and add up again only the causes that it touches."""
        inside = let_in(said, self.links)
        used: dict[Key, Weighed] = {}
        touched: set[int] = set()
        last: dict[str, Earlier] = {}
        done = {stage: self._repaired(stage) for stage in {stage for stage, _ in inside}}
        for key, evidence in inside.items():
            known, earlier = self.used.get(key), last.get(evidence.sign)
            repaired = done[evidence.stage]
            last[evidence.sign] = Earlier(evidence, repaired)
            if known is None or (known.evidence, known.earlier) != (evidence, earlier):
                fresh = weigh_evidence(
                    evidence, self.links, repaired, earlier, self.priors.persists
                )
                touched.update(fresh.ratio, known.ratio if known else ())
                known = fresh
            used[key] = known
        for key, gone in self.used.items():
            if key not in used:
                touched.update(gone.ratio)
        weights, ratios = list(self.weights), [item.ratio for item in used.values()]
        for cause in touched:
            weights[cause] = sum([ratio.get(cause, 0.0) for ratio in ratios], self.bare[cause])
        return replace(self, said=said, used=used, weights=tuple(weights))

    def _afresh(self) -> Belief:
        """Weigh everything anew."""
        causes = range(len(self.links.causes))
        bare = tuple([self.log_prior(cause) + self.log_complaint(cause) for cause in causes])
        return replace(self, used={}, bare=bare, weights=bare)._revised(self.said)


def _log(chance: float) -> float:
    return math.log(chance) if chance > 0 else -math.inf
