"""What counts as evidence: which signs are let in, and how much each says of each cause."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from typing import NamedTuple

from diag.reason.links import Chances, Links, SignTable, likelihood


class Evidence(NamedTuple):
    """A sign in one of its states, how far that can be relied on (0 to 1), and when.

    `stage` counts the repairs done before the readings behind it were taken.
    """

    sign: str
    state: str
    reliability: float = 1.0
    stage: int = 0


Key = tuple[int, str]
"""Stage and sign: what a piece of evidence is about."""


def twice(reliability: float) -> float:
    """Return how far two like readings can be relied on: both would have to slip.

    >>> round(twice(0.9), 2)
    0.99
    """
    return 1 - (1 - reliability) ** 2


def key_of(evidence: Evidence) -> Key:
    """Return the stage and the sign that the evidence is about."""
    return (evidence.stage, evidence.sign)


@dataclass(frozen=True, slots=True)
class Weighed:
    """One piece of evidence with its log likelihoods (natural), sparse over causes."""

    evidence: Evidence
    table: SignTable
    state: int
    mended: Set[int]
    """Causes repaired before: at this stage they are no longer there."""
    alone: float
    """Log likelihood with no cause."""
    ratio: Mapping[int, float]
    """Linked cause to its log likelihood less `alone`; for all other causes it is 0."""

    @property
    def unknown(self) -> float:
        """Return the log likelihood, less `alone`, under something not in the rulebook: flat."""
        return -math.log(len(self.table.states)) - self.alone

    def of_pair(self, first: int, second: int) -> float:
        """Return the log likelihood of two causes together, less `alone`."""
        if first in self.ratio and second in self.ratio:
            return self._log(self.table.chances((first, second))) - self.alone
        return self.ratio.get(first, 0.0) + self.ratio.get(second, 0.0)

    def _log(self, chances: Chances) -> float:
        return _log_likelihood(self.evidence, chances, self.state)


def _log_likelihood(evidence: Evidence, chances: Chances, state: int) -> float:
    return math.log(likelihood(chances[state], evidence.reliability, len(chances)))


def weigh_evidence(evidence: Evidence, links: Links, mended: Set[int]) -> Weighed:
    """Return the log likelihoods of one piece of evidence; touches only the linked causes.

    Raises `KeyError` for an unknown sign and `ValueError` for a state that the sign has not or
    a reliability outside 0 to 1.
    """
    table = links.table(evidence.sign)
    if evidence.state not in table.states:
        raise ValueError(f"`{evidence.sign}` has no state `{evidence.state}`")
    if not 0 <= evidence.reliability <= 1:
        raise ValueError(f"reliability {evidence.reliability} of `{evidence.sign}` is not 0 to 1")
    state = table.states.index(evidence.state)
    alone = _log_likelihood(evidence, table.alone, state)
    ratio = {
        cause: _log_likelihood(evidence, chances, state) - alone
        for cause, chances in table.given.items()
        if cause not in mended
    }
    return Weighed(evidence, table, state, mended, alone, ratio)


def let_in(said: Iterable[Evidence], links: Links) -> dict[Key, Evidence]:
    """Return the evidence that counts, in order of stage and sign.

    Left out are: what has no reliability, which is the same as not said; a sign in two states
    at once; and a sign that another one of the same stage supersedes, so that one fact is not
    counted twice. Of one state said twice the more reliable counts.
    """
    found: dict[Key, Evidence] = {}
    torn: set[Key] = set()
    for evidence in said:
        if evidence.reliability == 0:
            continue
        key = key_of(evidence)
        other = found.setdefault(key, evidence)
        if other.state != evidence.state:
            torn.add(key)
        found[key] = max(other, evidence, key=lambda one: one.reliability)
    for key in torn:
        del found[key]
    covered = {(stage, under) for stage, sign in found for under in links.table(sign).supersedes}
    return {key: found[key] for key in sorted(found) if key not in covered}
