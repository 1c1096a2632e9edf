"""How much a piece of evidence says of each cause, and of two together.

Sparse log likelihood ratios: the weights of Good, Probability and the Weighing of Evidence (1950).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import field

from diag.model.frozen import frozen
from diag.reason.belief.evidence import Earlier, Evidence, Look
from diag.reason.belief.links import likelihood


@frozen
class Weighed:
    """One piece of evidence with its log likelihoods (natural), sparse over causes."""

    evidence: Evidence
    look: Look
    log_leak: float
    """Log likelihood with no cause but those in plain sight: else that of the leak."""
    log_likelihood_ratio: Mapping[int, float]
    """Linked cause to its log likelihood less `log_leak`; for all other causes it is 0."""
    unknown: float
    """The same under something not in the rulebook, where all states are alike."""
    _of_pairs: dict[tuple[int, int], float] = field(default_factory=dict, compare=False, repr=False)
    _beyond: dict[tuple[int, int], float] = field(default_factory=dict, compare=False, repr=False)
    _as_sure: list[Weighed] = field(default_factory=list, compare=False, repr=False)

    @property
    def state(self) -> int:
        """Return the number of the state, 0 for the first."""
        return self.look.table.states.index(self.evidence.state)

    @property
    def as_earlier(self) -> Earlier:
        """Return it as what was read before, for the next look at the sign."""
        return Earlier(self.evidence, self.look.repaired, self.look.among(self.state))

    def log_likelihood(self, causes: Collection[int]) -> float:
        """Return the log likelihood of the evidence under the causes that the unit came with."""
        return math.log(self.look.chance(self.state, causes))

    @property
    def sure(self) -> Weighed:
        """Return the same as if it could not be a slip, worked out once."""
        if not self._as_sure:
            meant = self.evidence._replace(reliability=1.0)
            self._as_sure.append(weigh_evidence(meant, self.look))
        return self._as_sure[0]

    def beyond_halves(self, first: int, second: int) -> float:
        """Return what two linked causes together say beyond the sum of what each says alone."""
        both = first, second
        found = self._beyond.get(both)
        if found is None:
            ratio = self.log_likelihood_ratio
            found = self.of_pair(first, second) - (ratio[first] + ratio[second])
            self._beyond[both] = found
        return found

    def of_pair(self, first: int, second: int) -> float:
        """Return the log likelihood of two causes together, less `log_leak`.

        Remembered where it is not that of one of them, as the same few pairs come up again.
        """
        ratio, repaired = self.log_likelihood_ratio, self.look.repaired.causes
        one, other = first in ratio, second in ratio
        if (one and (other or first in repaired)) or (other and second in repaired):
            found = self._of_pairs.get((first, second))
            if found is None:
                found = self.log_likelihood((first, second)) - self.log_leak
                self._of_pairs[first, second] = found
            return found
        return ratio[first] if one else ratio.get(second, 0.0)


def weigh_evidence(evidence: Evidence, look: Look) -> Weighed:
    """Return the log likelihoods of what a look showed; touches only the linked causes."""
    table, trust = look.table, evidence.reliability
    look = look._replace(reliability=trust)
    state, states, log = table.states.index(evidence.state), len(table.states), math.log
    if look.repaired.causes or look.earlier or look.seen or table.defects:
        leak = log(look.chance(state, ()))
        other = [cause for cause in table.given if cause not in look.seen]
        ratio = {cause: log(look.chance(state, (cause,))) - leak for cause in other}
        unknown = log(look.chance_of_unknown(state)) - leak
    else:  # The same, quicker: most signs are read once and on a unit as it came in.
        leak = log(likelihood(table.leak_chances[state], trust, states))
        ratio = {
            cause: log(likelihood(given[state], trust, states)) - leak
            for cause, given in table.given.items()
        }
        unknown = -log(states) - leak
    return Weighed(evidence, look, leak, ratio, unknown)
