"""Belief in causes: the posterior over single causes, pairs, nothing wrong and the unknown.

Weights are natural logs relative to `nothing wrong with the unit`, or nothing but what is in plain
sight, so that a sign touches only the causes linked to it: under every other hypothesis it is as
likely as with no cause at all, or with no other.
A belief is a value made of what was said, excluded and repaired; the rest follows from that when
it is asked for. Each act returns another belief.

Hypotheses of at most two faults beside what is seen, with sparse updates: the sum over single
faults of Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", CACM 38 (1995), with
pairs of the leading causes beside it, which is an idea of ours.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from diag.reason.belief.defects import defect_of, in_sight, is_sight
from diag.reason.belief.evidence import (
    Earlier,
    Evidence,
    EvidenceKey,
    Look,
    RepairDone,
    RepairedBefore,
    key_of,
    let_in,
    possible,
    repaired_before,
)
from diag.reason.belief.links import LEAST, Links
from diag.reason.belief.pairs import pair_weights, pairs_among
from diag.reason.belief.posterior import LogWeights, Pair, Posterior, Several
from diag.reason.belief.priors import Priors
from diag.reason.belief.proofs import FailedProof
from diag.reason.belief.weighed import Weighed, weigh_evidence

__all__ = ["Belief", "Evidence", "Posterior", "Priors", "RepairDone", "start"]


def start(links: Links, priors: Priors, *complaints: str, leading: int = 12) -> Belief:
    """Return the belief before any evidence; pairs are formed among `leading` causes."""
    return Belief(links, priors, tuple(filter(None, complaints)), leading)


@dataclass(frozen=True)
class Belief:
    """What was said, excluded and repaired, and what follows from it for each cause.

    Raises `KeyError` for an unknown cause or sign, `ValueError` for an unknown state.
    """

    links: Links
    priors: Priors
    complaints: tuple[str, ...]
    """What is complained of; each is weighed by itself."""
    leading: int
    said: frozenset[Evidence] = frozenset()
    repairs: tuple[RepairDone, ...] = ()
    excluded: frozenset[str] = frozenset()
    failed_runs: int = 0
    """Runs with nothing repaired in which the complaint went on."""
    weighing: bool = False
    """True where defects in plain sight are weighed as any other sign, to tell what speaks for
    them; else every hypothesis holds them."""
    bare: tuple[float, ...] = field(default=(), compare=False, repr=False)
    """Log weight of each single cause by index, before any sign was looked at."""
    _weighed: dict[object, Weighed] = field(default_factory=dict, compare=False, repr=False)
    """What was weighed already, by this belief or one that it was made of; first looks at a unit
    as it came in are kept with the signs, for all beliefs."""
    _told: dict[Several, float] = field(default_factory=dict, compare=False, repr=False)
    """The log likelihood of the complaints under several causes, as it was worked out already."""

    def __post_init__(self) -> None:
        if not self.bare:
            causes, nothing = range(len(self.links.causes)), self._complaint_of(())
            alone = [self._prior(one) + (self._complaint_of((one,)) - nothing) for one in causes]
            object.__setattr__(self, "bare", tuple(alone))

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
        said = frozenset(possible(one, self.links) for one in evidence)
        return self if said == self.said else replace(self, said=said)

    def excluding(self, causes: Iterable[str]) -> Belief:
        """Rule out exactly these causes, as only a `certain` rule may."""
        ids = frozenset(causes)
        _ = [self.links.cause_index[cause] for cause in ids]
        return self if ids == self.excluded else replace(self, excluded=ids, bare=())

    def repair_failed(self, cause: str, stage: int, failed: bool = True) -> Belief:
        """Take in that `cause` was repaired after `stage`; the proof failed, or helped in part."""
        return self.with_repairs((*self.repairs, RepairDone(cause, stage, failed)))

    def with_repairs(self, repairs: Iterable[RepairDone]) -> Belief:
        """Replace all repairs done."""
        done = tuple(repairs)
        _ = [self.links.cause_index[repair.cause] for repair in done]
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
        return repaired_before(stage, self.repairs, self.links)

    @cached_property
    def _inside(self) -> Mapping[EvidenceKey, Evidence]:
        return let_in(self.said, self.links)

    @cached_property
    def seen_causes(self) -> Mapping[int, float]:
        """Return the causes in plain sight, by index, and how far the looks that show each hold."""
        blind = self.weighing or not self.links.defective
        return {} if blind else in_sight(self._inside, self.links, self.mended)

    @cached_property
    def _beside(self) -> Several:
        return tuple(self.seen_causes)

    def shows_defect(self, evidence: Evidence) -> bool:
        """Tell whether a reading is what puts a cause in plain sight."""
        return defect_of(evidence, self.links) in self.seen_causes

    def of_defects(self) -> Belief:
        """Return the belief with nothing said but what is in plain sight."""
        return self.seen(one for one in self.said if self.shows_defect(one))

    @cached_property
    def used(self) -> Mapping[EvidenceKey, Weighed]:
        """Return the evidence that counts, weighed, in order of stage and sign."""
        used: dict[EvidenceKey, Weighed] = {}
        last: dict[str, Earlier] = {}
        inside, beside, defective = self._inside, self._beside, self.links.defective
        done = {stage: self._repaired(stage) for stage in {stage for stage, _ in inside}}
        for key, evidence in inside.items():
            stage, sign = key
            plain = sign not in defective or self._is_plain(evidence)
            earlier = last.get(sign)
            asked: object = evidence, plain, done[stage], earlier, beside
            known = self._weighed
            if plain and not (earlier or beside or done[stage].causes):
                asked, known = evidence, self.links.table(sign).first_looks
            weighed = known.get(asked)
            if weighed is None:
                look = self._look(sign, done[stage], earlier, plain)
                known[asked] = weighed = weigh_evidence(evidence, look)
            used[key] = weighed
            if len(done) > 1:
                last[sign] = weighed.as_earlier
        return used

    def look(self, sign: str, reliability: float = 1.0) -> Look:
        """Return what looking at a sign now would be like, given how it last read, if it did."""
        look = self._look(sign, self._repaired(self.stage), self._earlier.get(sign))
        return look._replace(reliability=reliability)

    @cached_property
    def _earlier(self) -> Mapping[str, Earlier]:
        used = [item for (stage, _), item in self.used.items() if stage < self.stage]
        return {item.evidence.sign: item.as_earlier for item in used}

    def _look(
        self, sign: str, repaired: RepairedBefore, earlier: Earlier | None, plain: bool = True
    ) -> Look:
        table, persists = self.links.table(sign), self.priors.sign_persistence if earlier else 1.0
        return Look(table, 1.0, repaired, earlier, persists, self._beside, plain)

    def _is_plain(self, evidence: Evidence) -> bool:
        """Tell whether what a reading shows would be, and then is, in plain sight."""
        fault = self.links.table(evidence.sign).defects.get(evidence.state)
        shown = fault is None or fault in self.seen_causes
        return shown and is_sight(evidence) and not self.weighing

    @cached_property
    def weights(self) -> tuple[float, ...]:
        """Return the log weight of each cause by index, without what failed proofs say."""
        weights = list(self.bare)
        if self._beside:
            weights = [self.log_prior(one) + self.log_complaint(one) for one in range(len(weights))]
        for item in self.used.values():
            for cause, ratio in item.log_likelihood_ratio.items():
                weights[cause] += ratio
        return tuple(weights)

    def posterior(self) -> Posterior:
        """Return the probabilities of what was wrong when the unit came in."""
        return self._as_it_came

    def remaining(self) -> Posterior:
        """Return the probabilities of what is wrong now, after the repairs so far."""
        return self._as_it_came.without(self.mended())

    @cached_property
    def _as_it_came(self) -> Posterior:
        weights = self.leading_weights.plain().beside(self._beside)
        return Posterior(self.links, weights, self.seen_causes)

    def leading_pairs(self) -> tuple[Pair, ...]:
        """Return the pairs worth the time, in order of index."""
        if self.leading < 2:
            return ()
        return pairs_among(self.weights, self.used.values(), self.leading, self.mended())

    @cached_property
    def leading_weights(self) -> LogWeights:
        """Return the log weight of every hypothesis, the pairs worth the time among them."""
        return self.log_weights(self.leading_pairs())

    def log_weights(self, pairs: Collection[Pair]) -> LogWeights:
        """Return the log weight of every hypothesis against no evidence and nothing unseen."""
        priors = self.priors
        unknown = _log(priors.unknown_odds) + sum([item.unknown for item in self.used.values()])
        for complaint in self.complaints:
            beside = self.silent(complaint, self._beside) * (1 - priors.complaint_unknown)
            unknown += _log(1 - beside) - self._told_by(complaint, self._beside)
        pair = pair_weights(self, pairs) if pairs else {}
        runs = 0 if self._beside else self.failed_runs
        nothing, single = sum([_log(priors.repair_fails)] * runs), list(self.weights)
        for repair in self.repairs:
            if repair.failed:
                failed = FailedProof(self, repair)
                nothing += failed.log_proof()
                unknown += failed.log_going_on(self._beside, priors.complaint_unknown)
                for cause in range(len(single)) if self._beside else self.mended():
                    single[cause] += failed.log_proof((cause,))
                pair = {both: log + failed.log_proof(both) for both, log in pair.items()}
        return LogWeights(nothing, unknown, single, pair)

    def log_evidence(self, pairs: Iterable[Pair]) -> float:
        """Return the log probability of the evidence in use, given all else, over these pairs."""
        pairs = tuple(pairs)
        rest = [one for one in self.used.values() if not self.shows_defect(one.evidence)]
        leak = sum(item.log_leak for item in rest)
        before = self.of_defects().log_weights(pairs).total()
        return self.log_weights(pairs).total() + leak - before

    def log_complaint(self, *causes: int) -> float:
        """Return the log likelihood of the complaints under the causes, less that of what is seen
        alone."""
        return self._complaint_of((*self._beside, *causes)) - self._complaint_beside

    @cached_property
    def _complaint_beside(self) -> float:
        return self._complaint_of(self._beside)

    def _complaint_of(self, causes: Several) -> float:
        told = self._told.get(causes)
        if told is None:
            told = sum([self._told_by(complaint, causes) for complaint in self.complaints])
            self._told[causes] = told
        return told

    def _told_by(self, complaint: str, causes: Several) -> float:
        if not causes:
            return _log(self.priors.complaint_nothing)
        return math.log(max(1 - self.silent(complaint, causes), LEAST))

    def silent(self, complaint: str, causes: Several) -> float:
        """Return the chance that none of the causes brings a complaint."""
        return self.links.silent(complaint, causes, self.priors.complaint_leak)

    def log_prior(self, cause: int) -> float:
        """Return the log odds of a cause against nothing wrong, before complaint and evidence;
        what is in plain sight is there already."""
        return -math.inf if cause in self._beside else self._prior(cause)

    def _prior(self, cause: int) -> float:
        out = self.links.causes[cause] in self.excluded
        return -math.inf if out else _log(self.links.odds[cause])


def _log(chance: float) -> float:
    return math.log(chance) if chance > 0 else -math.inf
