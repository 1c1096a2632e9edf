"""Which pairs of causes are worth the time: how they are chosen is an idea of ours."""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Iterable, Sequence
from itertools import combinations

from diag.reason.belief.evidence import Weighed
from diag.reason.belief.posterior import Pair


def pairs_among(
    weights: Sequence[float], used: Iterable[Weighed], leading: int, mended: Collection[int]
) -> tuple[Pair, ...]:
    """Return the pairs worth the time, in order of index.

    They are formed among the weightiest half of the `leading` causes, the best explainer of
    each state seen that is not a sign's first, and the next weightiest until there are
    enough. A cause repaired is paired with every other: where it was not all that was wrong,
    the rest may be what it hid, which nothing spoke for before.
    """
    if leading < 2:
        return ()
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
