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
    """Return the log likelihood of a failed proof if these causes were all that was wrong."""
    return FailedProof(belief, repair).log_proof(causes)


class FailedProof:
    """A proof that failed, to be held against one hypothesis after the other."""

    def __init__(self, belief: Belief, repair: RepairDone) -> None:
        self._belief = belief
        self._mended = belief.mended(repair.stage + 1)
        before = [one for one in belief.repairs if one.failed and one.stage < repair.stage]
        self._going_on: list[tuple[str, frozenset[int], int]] = []
        """Complaints that went on, with what was gone when they were read to, and the same, to be
        taken away again, for when they were told before."""
        for complaint in repair.going_on:
            told = [one.stage + 1 for one in before if complaint in one.going_on]
            self._going_on += [
                (complaint, self._mended, 1),
                (complaint, belief.mended(max(told, default=0)), -1),
            ]
        self._loud: dict[tuple[str, Several, float], float] = {}

    def log_proof(self, causes: Iterable[int] = ()) -> float:
        """Return the log likelihood of the failure if these causes were all that was wrong.

        A proof fails for sure while a cause is left, seldom once all are repaired. A complaint that
        was read to go on is one that what is left brings.
        """
        came = (*self._belief.seen_causes, *causes)
        if self._mended.issuperset(came):
            fails = self._belief.priors.repair_fails
            return math.log(fails) if fails > 0 else -math.inf
        return self.log_going_on(came)

    def log_going_on(self, came: Several, unknown: float = 0.0) -> float:
        """Return the log chance that what the unit came with still brings the complaints which went
        on after the repair, as it did before; `unknown` is that of what the rules do not know."""
        chance = 0.0
        for complaint, gone, side in self._going_on:
            asked = complaint, tuple([cause for cause in came if cause not in gone]), unknown
            loud = self._loud.get(asked)
            if loud is None:
                silent = self._belief.silent(*asked[:2]) * (1 - unknown)
                loud = self._loud[asked] = math.log(max(1 - silent, LEAST))
            chance += side * loud
        return chance
