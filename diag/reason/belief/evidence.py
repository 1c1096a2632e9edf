"""What counts as evidence: which signs are let in, and how much each says of each cause."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from diag.reason.belief.links import LEAST, Links, SignTable, likelihood


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


class Repaired(NamedTuple):
    """The causes repaired before a stage, in order, and those whose first proof failed."""

    causes: tuple[int, ...] = ()
    failed: frozenset[int] = frozenset()

    def left(self, causes: Collection[int]) -> list[int]:
        """Return which of the causes that the unit came with are still there.

        Where the last of them was repaired and its proof failed yet, that repair did not take.
        """
        there = [cause for cause in causes if cause not in self.causes]
        if there:
            return there
        last = [cause for cause in self.causes if cause in causes][-1:]
        return [cause for cause in last if cause in self.failed]


class Earlier(NamedTuple):
    """The same sign as last read, at an earlier stage, and what was repaired before that."""

    evidence: Evidence
    repaired: Repaired


class Weighed(NamedTuple):
    """One piece of evidence with its log likelihoods (natural), sparse over causes."""

    evidence: Evidence
    table: SignTable
    repaired: Repaired
    """What was repaired before: at this stage it is no longer there."""
    earlier: Earlier | None
    """What the likelihoods are given, as the same sign tells no new tale twice."""
    persists: float
    alone: float = 0.0
    """Log likelihood with no cause."""
    ratio: Mapping[int, float] = MappingProxyType({})
    """Linked cause to its log likelihood less `alone`; for all other causes it is 0."""
    unknown: float = 0.0
    """The same under something not in the rulebook, where all states are alike."""

    @property
    def state(self) -> int:
        """Return the number of the state, 0 for the first."""
        return self.table.states.index(self.evidence.state)

    def of_pair(self, first: int, second: int) -> float:
        """Return the log likelihood of two causes together, less `alone`."""
        one, other = first in self.ratio, second in self.ratio
        repaired = self.repaired.causes
        if (one and (other or first in repaired)) or (other and second in repaired):
            return self.log((first, second)) - self.alone
        return self.ratio[first] if one else self.ratio.get(second, 0.0)

    def of_pairs(self, pairs: Iterable[tuple[int, int]]) -> list[float]:
        """Return the same for many pairs, of which it looks closely at the few that need it."""
        ratio, of_pair = self.ratio, self.of_pair
        if self.repaired.causes:
            return [of_pair(one, other) for one, other in pairs]
        return [
            of_pair(one, other)
            if one in ratio and other in ratio
            else ratio.get(one, 0.0) + ratio.get(other, 0.0)
            for one, other in pairs
        ]

    def log(self, causes: Collection[int]) -> float:
        """Return the log likelihood of the evidence under the causes that the unit came with."""
        table, after = self.table, self.state
        left = self.repaired.left(causes)
        now = table.chances(left)[after]
        if self.earlier is None:
            return self._log(now, now, now)
        before = table.states.index(self.earlier.evidence.state)
        came = self.earlier.repaired.left(causes)
        gone = [cause for cause in came if cause not in left]
        return self._log(now, table.chances(came)[before], table.both(gone, left, before, after))

    def log_unknown(self) -> float:
        """Return the log likelihood under something not in the rulebook: flat.

        What is not known was not repaired either, and goes on showing what it showed.
        """
        flat = 1 / len(self.table.states)
        same = self.earlier is None or self.earlier.evidence.state == self.evidence.state
        return self._log(flat, flat, flat if same else 0.0)

    def _log(self, now: float, once: float, both: float) -> float:
        """Return the log likelihood from the chances of the state now, of the earlier one, and of
        both where what showed goes on showing; either reading may be a slip."""
        states, trust = len(self.table.states), self.evidence.reliability
        anew = likelihood(now, trust, states)
        if self.earlier is None:
            return math.log(anew)
        trusted = self.earlier.evidence.reliability
        slip, slipped = (1 - trust) / states, (1 - trusted) / states
        meant = trust * (trusted * both + slipped * now) + slip * (trusted * once + slipped)
        again = meant / likelihood(once, trusted, states)
        return math.log(max(self.persists * again + (1 - self.persists) * anew, LEAST))


def weigh_evidence(
    evidence: Evidence,
    links: Links,
    repaired: Repaired,
    earlier: Earlier | None = None,
    persists: float = 1.0,
) -> Weighed:
    """Return the log likelihoods of one piece of evidence; touches only the linked causes.

    Where the sign was read `earlier`, they are given that reading: with the chance `persists` all
    that the repair between did not take away shows as it did then, else it is drawn anew. Raises
    `KeyError` for an unknown sign and `ValueError` for a state that the sign has not or a
    reliability outside 0 to 1.
    """
    table = links.table(evidence.sign)
    if evidence.state not in table.states:
        raise ValueError(f"`{evidence.sign}` has no state `{evidence.state}`")
    if not 0 <= evidence.reliability <= 1:
        raise ValueError(f"reliability {evidence.reliability} of `{evidence.sign}` is not 0 to 1")
    bare = Weighed(evidence, table, repaired, earlier, persists)
    if repaired.causes or earlier:
        alone = bare.log(())
        ratio = {cause: bare.log((cause,)) - alone for cause in table.given}
    else:  # The same, quicker: most signs are read once and on a unit as it came in.
        state, trust, states = bare.state, evidence.reliability, len(table.states)
        alone = math.log(likelihood(table.alone[state], trust, states))
        ratio = {
            cause: math.log(likelihood(given[state], trust, states)) - alone
            for cause, given in table.given.items()
        }
    unknown = bare.log_unknown() - alone
    return Weighed(evidence, table, repaired, earlier, persists, alone, ratio, unknown)


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
