"""Which pairs of causes are worth the time, and what they weigh: the choice is an idea of ours."""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Iterable, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from diag.reason.belief.posterior import Pair
from diag.reason.belief.weighed import Weighed

if TYPE_CHECKING:
    from diag.reason.belief.belief import Belief


def pairs_among(
    weights: Sequence[float], used: Iterable[Weighed], leading: int, mended: Collection[int]
) -> tuple[Pair, ...]:
    """Return the pairs worth the time, in order of index.

    They are formed among the weightiest half of the `leading` causes, the best explainer of
    each state seen that is not a sign's first, and the next weightiest until there are
    enough. A cause repaired is paired with every other: where it was not all that was wrong,
    the rest may be what it hid, which nothing spoke for before.
    """
    top = heapq.nlargest(leading, range(len(weights)), key=weights.__getitem__)
    chosen = dict.fromkeys(top[: (leading + 1) // 2])
    for item in used:
        raised = [cause for cause, ratio in item.log_likelihood_ratio.items() if ratio > 0]
        if item.state and raised:
            chosen[min(raised, key=lambda cause: (-weights[cause], cause))] = None
    chosen.update(dict.fromkeys(top))
    possible = {cause for cause, weight in enumerate(weights) if weight > -math.inf}
    able = sorted(possible.intersection(list(chosen)[:leading]))
    pairs = set(combinations(able, 2))
    for done in possible.intersection(mended):
        pairs.update((min(done, rest), max(done, rest)) for rest in possible - {done})
    return tuple(sorted(pairs))


def pair_weights(belief: Belief, pairs: Collection[Pair]) -> dict[Pair, float]:
    """Add the weights of the halves, and put right the complaint and the shared signs."""
    weights, complaint = belief.weights, belief.log_complaint
    pair = {both: weights[both[0]] + weights[both[1]] for both in pairs}
    others: dict[int, set[int]] = {}
    later: dict[int, set[int]] = {}
    for i, j in pair:
        later.setdefault(i, set()).add(j)
        others.setdefault(i, set()).add(j)
        others.setdefault(j, set()).add(i)
    if belief.complaints:
        halves = {cause: complaint(cause) for cause in others}
        for i, j in pair:
            pair[i, j] += complaint(i, j) - halves[i] - halves[j]
    for item in belief.used.values():
        ratio, done = item.log_likelihood_ratio, item.look.repaired.causes
        linked, beyond = ratio.keys(), item.beyond_halves
        for i in later.keys() & linked:
            for j in later[i] & linked:
                pair[i, j] += beyond(i, j)
        # What a repaired cause shows once more as the only one goes unseen beside another.
        for i in (linked & others.keys()).intersection(done):
            for j in others[i] - linked:
                both = (i, j) if i < j else (j, i)
                pair[both] += item.of_pair(*both) - ratio[i]
    return pair
