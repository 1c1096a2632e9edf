"""The reasons for and against a cause, as weights of evidence that add up.

In decibans, 10 log10 of a likelihood ratio: Good, Probability and the Weighing of Evidence (1950).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import Literal as OneOf
from typing import NamedTuple

from diag.reason.belief.belief import Belief
from diag.reason.belief.posterior import Posterior
from diag.reason.belief.proofs import log_proof

DECIBAN = math.log(10) / 10
"""One deciban as a natural logarithm."""
LEAST_TOLD = 1e-9
"""Natural logarithm from which a sign tells anything: less is the rounding of a float."""


WeightKind = OneOf["prior", "record", "complaint", "sign", "failed proof"]


class Weight(NamedTuple):
    """What one thing says for (above 0) or against (below 0) a cause.

    A prior has no name and no state, a complaint only a name, what is on record the reason as its
    name, a failed proof the repaired cause. `stage` counts the repairs done before.
    """

    kind: WeightKind
    name: str
    state: str
    stage: int
    decibans: float

    @property
    def label(self) -> str:
        """Return what it is, in words."""
        if self.kind == "prior":
            return "how common it is"
        if self.kind == "record":
            return self.name
        return f"{self.kind}: {self.name}{' is ' + self.state if self.state else ''}"


def weigh(belief: Belief, cause: str) -> tuple[Weight, ...]:
    """Return the weights for `cause` as the only one, against nothing wrong; they add to its odds.

    Their sum is 10 log10 of the posterior odds of the cause alone against nothing wrong. Beside
    what is in plain sight it is against nothing but that; what speaks for a cause in plain sight
    is told as of any other. Signs that say nothing of the cause are left out. Raises `KeyError` for
    an unknown cause.
    """
    index = belief.links.cause_index[cause]
    if index in belief.seen_causes:
        belief = replace(belief, weighing=True)
    signs = [
        Weight("sign", item.evidence.sign, item.evidence.state, stage, ratio / DECIBAN)
        for (stage, _), item in belief.used.items()
        if (ratio := item.log_likelihood_ratio.get(index, 0.0))
    ]
    failed = {repair: log_proof(belief, repair) for repair in belief.repairs if repair.failed}
    proofs = [
        Weight("failed proof", repair.cause, "", repair.stage, loss / DECIBAN)
        for repair, in_vain in failed.items()
        if (loss := log_proof(belief, repair, (index,)) - in_vain)
    ]
    complaint = belief.log_complaint(index) / DECIBAN
    recorded = _recorded(belief, cause)
    prior = belief.log_prior(index) / DECIBAN - sum(one.decibans for one in recorded)
    spoken = (
        [Weight("complaint", " and ".join(belief.complaints), "", 0, complaint)]
        if belief.complaints
        else []
    )
    own = Weight("prior", "", "", 0, prior)
    return (own, *recorded, *spoken, *_weightiest([*signs, *proofs]))


def _recorded(belief: Belief, cause: str) -> list[Weight]:
    """Return what is known of a cause beside the rules, reason by reason."""
    summed: dict[str, float] = {}
    for one in belief.links.shifts:
        if one.cause == cause:
            summed[one.why] = summed.get(one.why, 0.0) + math.log(one.times) / DECIBAN
    return [Weight("record", why, "", 0, decibans) for why, decibans in summed.items()]


def weigh_against(belief: Belief, cause: str, other: str) -> tuple[Weight, ...]:
    """Return why `cause` and not `other`: the differences of their weights, the heaviest first.

    Their sum is 10 log10 of the posterior odds of one alone against the other alone; both must
    be possible. Raises `KeyError` for an unknown cause and `ValueError` for one ruled out.
    """
    for name in (cause, other):
        if name in belief.excluded:
            raise ValueError(f"`{name}` is ruled out; nothing is left to weigh")
    sums: dict[tuple[WeightKind, str, str, int], float]
    if belief.seen_causes.keys() & {belief.links.cause_index[one] for one in (cause, other)}:
        belief = replace(belief, weighing=True)
    sums = {one[:4]: one.decibans for one in weigh(belief, cause)}
    for one in weigh(belief, other):
        sums[one[:4]] = sums.get(one[:4], 0.0) - one.decibans
    return _weightiest(Weight(*key, decibans) for key, decibans in sums.items() if decibans)


def weigh_among(belief: Belief, posterior: Posterior, cause: str) -> tuple[Weight, ...]:
    """Return what each sign tells for `cause` against all that it competes with, heaviest first.

    The weight is 10 log10 of the odds of the cause alone, against any other alone or none, over
    the same odds had the sign not been read: what speaks for all alike says nothing here.
    `posterior` is that of `belief`. Empty where nothing competes. Raises `KeyError` for an unknown
    cause.
    """
    index = belief.links.cause_index[cause]
    others = [*posterior.single, posterior.nothing]
    others[index] = 0.0
    total = math.fsum(others)
    if not total:
        return ()
    if index in belief.seen_causes:
        belief = replace(belief, weighing=True)
    found = []
    for (stage, _), item in belief.used.items():
        ratios = item.log_likelihood_ratio
        touched = [each for each in ratios if each != index and others[each]]
        had = math.fsum(others[each] * math.exp(-ratios[each]) for each in touched)
        before = had + total - math.fsum(others[each] for each in touched)
        if before <= 0:
            continue
        told = ratios.get(index, 0.0) + math.log(before / total)
        if abs(told) > LEAST_TOLD:
            found.append(
                Weight("sign", item.evidence.sign, item.evidence.state, stage, told / DECIBAN)
            )
    return _weightiest(found)


def _weightiest(weights: Iterable[Weight]) -> tuple[Weight, ...]:
    """Return the heaviest first, whether for or against; ties by kind, name and stage."""
    return tuple(sorted(weights, key=lambda one: (-abs(one.decibans), one)))
