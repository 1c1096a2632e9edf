"""What a proof that failed says of what is left: an idea of ours.

The complaint told at first and the one that goes on are one ringing of the clocks, so what is left
brings it now with the chance that it would have brought it alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from diag.reason.belief.evidence import RepairDone
from diag.reason.belief.links import LEAST
from diag.reason.belief.posterior import Several

if TYPE_CHECKING:
    from diag.reason.belief.belief import Belief


def log_proof(belief: Belief, repair: RepairDone, causes: Iterable[int] = ()) -> float:
    """Return the log likelihood of a failed proof if these causes were all that was wrong.

    A proof fails for sure while a cause is left, seldom once all are repaired. A complaint that
    was read to go on is one that what is left brings.
    """
    came = (*belief.seen_causes, *causes)
    if belief.mended(repair.stage + 1).issuperset(came):
        fails = belief.priors.repair_fails
        return math.log(fails) if fails > 0 else -math.inf
    return log_going_on(belief, repair, came)


def log_going_on(belief: Belief, repair: RepairDone, came: Several, unknown: float = 0.0) -> float:
    """Return the log chance that what the unit came with still brings the complaints which went
    on after a repair, as it did before; `unknown` is that of what the rules do not know."""
    chance = 0.0
    before = [one for one in belief.repairs if one.failed and one.stage < repair.stage]
    for complaint in repair.going_on:
        told = [one.stage + 1 for one in before if complaint in one.going_on]
        for stage, side in ((repair.stage + 1, 1), (max(told, default=0), -1)):
            gone = belief.mended(stage)
            left = tuple([cause for cause in came if cause not in gone])
            silent = belief.silent(complaint, left) * (1 - unknown)
            chance += side * math.log(max(1 - silent, LEAST))
    return chance
