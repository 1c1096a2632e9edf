"""Readings that do not belong together, and the one to take again.

The measure is that of Jensen, Chamberlain, Nordahl and Jensen (1990), log of prod P(e_k) over
P(e_1..e_n): above 0, the evidence is less likely together than its parts are on their own. All
probabilities are given the complaint and the repairs, over the same hypotheses, pairs included,
so that a slip is weighed against two faults at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from diag.reason.belief import Belief, Evidence


@dataclass(frozen=True, slots=True)
class Suspect:
    """One piece of evidence, and what would follow from leaving it out."""

    evidence: Evidence
    relief: float
    """By how much the measure falls without it (natural log): its own conflict with the rest."""
    slip_odds: float
    """Odds that it is a slip against its being meant, given all the rest."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """The measure (natural log) and every piece of evidence, the most suspect first."""

    measure: float
    suspects: tuple[Suspect, ...]


def conflict(belief: Belief, least_slip: float = 0.0) -> Conflict:
    """Return how badly the evidence fits together, and what leaving out each piece would do.

    The chance of a slip, before the rest is known, is what a piece lacks in reliability, and at
    least `least_slip`; a slip shows any state of the sign alike.
    """
    pairs = belief.leading_pairs()
    whole = belief.log_evidence(pairs)
    used = [item.evidence for item in belief.used.values()]
    suspects, apart = [], 0.0
    for one in used:
        others = [other for other in used if other != one]
        own, rest = (belief.seen(part).log_evidence(pairs) for part in ([one], others))
        meant = belief.seen([*others, one._replace(reliability=1.0)]).log_evidence(pairs)
        slip = max(least_slip, 1 - one.reliability)
        states = len(belief.links.table(one.sign).states)
        odds = slip / (1 - slip) * math.exp(rest - meant) / states
        suspects.append(Suspect(one, own + rest - whole, odds))
        apart += own
    suspects.sort(key=lambda suspect: (-suspect.slip_odds, suspect.evidence))
    return Conflict(apart - whole, tuple(suspects))


def accused(found: Conflict, least_odds: float = 1.5) -> Suspect | None:
    """Return the piece of evidence to take again: the likeliest slip, if likely enough.

    The measure is no gate here: readings that confirm one another draw it far below 0, and so
    hide the one among them that does not fit; and a state that nothing explains is as odd on
    its own as among the rest, which brings no relief.
    """
    worst = found.suspects[0] if found.suspects else None
    return worst if worst and worst.slip_odds >= least_odds else None
