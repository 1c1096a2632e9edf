"""Belief in causes: the posterior over single causes, pairs, nothing wrong and the unknown.

Weights are natural logs relative to `nothing wrong with the unit`, so that a sign touches only
the causes linked to it: under every other hypothesis it is as likely as with no cause at all.
A belief is a value made of what was said, excluded and repaired; the rest follows from that when
it is asked for. Each act returns another belief.

Hypotheses of at most two faults with sparse updates: the sum over single faults of Heckerman,
Breese and Rommelse, "Decision-theoretic troubleshooting", CACM 38 (1995), with pairs of the leading
causes beside it, which is an idea of ours.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import combinations

from diag.model.frozen import frozen
from diag.reason.belief.evidence import (
    Earlier,
    Evidence,
    EvidenceKey,
    Look,
    RepairedBefore,
    Weighed,
    key_of,
    let_in,
    possible,
    weigh_evidence,
)
from diag.reason.belief.links import LEAST, Links
from diag.reason.belief.posterior import LogWeights, Pair, Posterior
from diag.reason.belief.priors import Priors

__all__ = ["Belief", "Evidence", "Posterior", "Priors", "RepairDone", "start"]


@frozen
class RepairDone:
    """A cause was repaired after the readings of `stage`; did the proof fail, or hold in part?"""

    cause: str
    stage: int
    failed: bool
    """The unit went on as before: something is wrong still."""
    holds: bool = False
    """Its own proof held: this cause is gone, whatever else is wrong."""


def start(links: Links, priors: Priors, complaint: str = "", leading: int = 12) -> Belief:
    """Return the belief before any evidence; pairs are formed among `leading` causes."""
    return Belief(links, priors, complaint, leading)


@dataclass(frozen=True)
class Belief:
    """What was said, excluded and repaired, and what follows from it for each cause.

    Raises `KeyError` for an unknown cause or sign, `ValueError` for an unknown state.
    """

    links: Links
    priors: Priors
    complaint: str
    leading: int
    said: frozenset[Evidence] = frozenset()
    repairs: tuple[RepairDone, ...] = ()
    excluded: frozenset[str] = frozenset()
    failed_runs: int = 0
    """Runs with nothing repaired in which the complaint went on."""
    bare: tuple[float, ...] = field(default=(), compare=False, repr=False)
    """Log weight of each single cause by index, before any sign was looked at."""
    _weighed: dict[Evidence | tuple[Evidence, RepairedBefore, Earlier | None], Weighed] = field(
        default_factory=dict, compare=False, repr=False
    )
    """What was weighed already, by this belief or one that it was made of; a first look at a unit
    as it came in by the evidence alone."""

    def __post_init__(self) -> None:
        if not self.bare:
            causes = range(len(self.links.causes))
            bare = tuple([self.log_prior(cause) + self.log_complaint(cause) for cause in causes])
            object.__setattr__(self, "bare", bare)

    def observe(self, *evidence: Evidence) -> Belief:
        """Take in evidence; what was said before of the same sign and stage is corrected."""
        keys = {key_of(possible(one, self.links)) for one in evidence}
        kept = [one for one in self.said if key_of(one) not in keys]
        return replace(self, said=frozenset([*kept, *evidence]))

    def withdraw(self, sign: str, stage: int = 0) -> Belief:
        """Leave out whatever was said of a sign at a stage."""
        return replace(self, said=frozenset(e for e in self.said if key_of(e) != (stage, sign)))

    def seen(self, evidence: Iterable[Evidence]) -> Belief:
        """Replace all that was said; a sign in two states at once is no evidence."""
        return replace(self, said=frozenset(possible(one, self.links) for one in evidence))

    def excluding(self, causes: Iterable[str]) -> Belief:
        """Rule out exactly these causes, as only a `certain` rule may."""
        ids = frozenset(causes)
        for cause in ids:
            self.links.cause_index[cause]
        return replace(self, excluded=ids, bare=())

    def repair_failed(self, cause: str, stage: int) -> Belief:
        """Take in that `cause` was repaired after the readings of `stage` and the proof failed."""
        return self.with_repairs((*self.repairs, RepairDone(cause, stage, failed=True)))

    def repair_proved_in_part(self, cause: str, stage: int) -> Belief:
        """Take in that `cause` was repaired after `stage` and that helped in part."""
        return self.with_repairs((*self.repairs, RepairDone(cause, stage, failed=False)))

    def with_repairs(self, repairs: Iterable[RepairDone]) -> Belief:
        """Replace all repairs done."""
        done = tuple(repairs)
        for repair in done:
            self.links.cause_index[repair.cause]
        return replace(self, repairs=done)

    def after_failed_runs(self, runs: int) -> Belief:
        """Take in runs with nothing repaired: they fail seldom where nothing is wrong."""
        return replace(self, failed_runs=runs)

    @property
    def stage(self) -> int:
        """Return the stage of what is looked at now: after all repairs so far."""
        return max((repair.stage + 1 for repair in self.repairs), default=0)

    def mended(self, stage: float = math.inf) -> frozenset[int]:
        """Return the indices of the causes repaired before `stage`, or so far."""
        return frozenset(self._repaired(stage).causes)

    def _repaired(self, stage: float) -> RepairedBefore:
        first: dict[int, bool] = {}
        for repair in self.repairs:
            if repair.stage < stage:
                untaken = repair.failed and not repair.holds
                first.setdefault(self.links.cause_index[repair.cause], untaken)
        return RepairedBefore(tuple(first), frozenset(cause for cause in first if first[cause]))

    @cached_property
    def used(self) -> Mapping[EvidenceKey, Weighed]:
        """Return the evidence that counts, weighed, in order of stage and sign."""
        used: dict[EvidenceKey, Weighed] = {}
        last: dict[str, Earlier] = {}
        inside = let_in(self.said, self.links)
        done = {stage: self._repaired(stage) for stage in {stage for stage, _ in inside}}
        for key, evidence in inside.items():
            stage, sign = key
            earlier = last.get(sign)
            asked = (evidence, done[stage], earlier) if earlier or done[stage].causes else evidence
            weighed = self._weighed.get(asked)
            if weighed is None:
                look = self._look(sign, 1.0, done[stage], earlier)
                self._weighed[asked] = weighed = weigh_evidence(evidence, look)
            used[key] = weighed
            if len(done) > 1:
                last[sign] = Earlier(evidence, done[stage])
        return used

    def look(self, sign: str, reliability: float = 1.0) -> Look:
        """Return what looking at a sign now would be like, given how it last read, if it did."""
        now, earlier = self.stage, None
        for (stage, name), item in self.used.items():
            if name == sign and stage < now:
                earlier = Earlier(item.evidence, item.look.repaired)
        return self._look(sign, reliability, self._repaired(now), earlier)

    def _look(
        self, sign: str, reliability: float, repaired: RepairedBefore, earlier: Earlier | None
    ) -> Look:
        table, persistence = self.links.table(sign), self.priors.sign_persistence
        return Look(table, reliability, repaired, earlier, persistence)

    @cached_property
    def weights(self) -> tuple[float, ...]:
        """Return the log weight of each single cause by index, without what failed proofs say."""
        weights = list(self.bare)
        for item in self.used.values():
            for cause, ratio in item.log_likelihood_ratio.items():
                weights[cause] += ratio
        return tuple(weights)

    def posterior(self) -> Posterior:
        """Return the probabilities of what was wrong when the unit came in."""
        return self._as_it_came

    def remaining(self) -> Posterior:
        """Return the probabilities of what is wrong now, after the repairs so far."""
        return self._as_it_is

    @cached_property
    def _as_it_came(self) -> Posterior:
        return Posterior(self.links, self.log_weights(self.leading_pairs()).plain())

    @cached_property
    def _as_it_is(self) -> Posterior:
        return self._as_it_came.without(self.mended())

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
            raised = [cause for cause, ratio in item.log_likelihood_ratio.items() if ratio > 0]
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
        nothing, single = sum([_log(priors.repair_fails)] * self.failed_runs), list(self.weights)
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
        pairs, before = tuple(pairs), self.seen(())
        leak = sum(item.log_leak for item in self.used.values())
        return self.log_weights(pairs).total() + leak - before.log_weights(pairs).total()

    def log_complaint(self, *causes: int) -> float:
        """Return the log likelihood of the complaint under the causes, less nothing wrong."""
        if not self.complaint:
            return 0.0
        priors, silent = self.priors, 1.0
        for cause in causes:
            listed = self.links.complaints[cause]
            silent *= 1 - listed.get(self.complaint, priors.complaint_leak)
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
            ratio = item.log_likelihood_ratio
            linked = [cause for cause in causes if cause in ratio]
            shared = [*combinations(linked, 2)]
            # What a repaired cause shows once more as the only one goes unseen beside another.
            for done in item.look.repaired.causes:
                if done in ratio:
                    alone = [one for one in causes if one not in ratio]
                    shared += [(min(done, one), max(done, one)) for one in alone]
            for i, j in shared:
                if (i, j) in pair:
                    halves_ratio = ratio.get(i, 0.0) + ratio.get(j, 0.0)
                    pair[i, j] += item.of_pair(i, j) - halves_ratio
        return pair


def _log(chance: float) -> float:
    return math.log(chance) if chance > 0 else -math.inf
