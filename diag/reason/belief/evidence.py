"""What counts as evidence: which signs are let in, and how much each says of each cause.

Soft evidence by a mixture with a flat one, as the leaky channel of Pearl, Probabilistic Reasoning
in Intelligent Systems (1988). A sign read again after a repair is an idea of ours.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from diag.model.frozen import frozen
from diag.reason.belief.competing_risks import Chances
from diag.reason.belief.links import LEAST, Links, SignTable, likelihood


class Evidence(NamedTuple):
    """A sign in one of its states, how far that can be relied on (0 to 1), and when.

    `stage` counts the repairs done before the readings behind it were taken.
    """

    sign: str
    state: str
    reliability: float = 1.0
    stage: int = 0
    hearsay: bool = False
    """True where somebody was told of it, and nobody here saw or measured it."""


EvidenceKey = tuple[int, str]
"""Stage and sign: what a piece of evidence is about."""


def twice(reliability: float) -> float:
    """Return how far two like readings can be relied on: both would have to slip.

    >>> round(twice(0.9), 2)
    0.99
    """
    return 1 - (1 - reliability) ** 2


def together(reliabilities: Iterable[float]) -> float:
    """Return how far a conclusion from several readings can be relied on.

    As far as the weakest of them: readings behind one sign are mostly taken at one sitting, by
    one hand, and slip together. Evidence is weighed by this and the planner predicts by it.
    Raises `ValueError` for none.

    >>> together([0.9, 0.95])
    0.9
    """
    return min(reliabilities)


def key_of(evidence: Evidence) -> EvidenceKey:
    """Return the stage and the sign that the evidence is about."""
    return (evidence.stage, evidence.sign)


@frozen
class RepairDone:
    """A cause was repaired after the readings of `stage`; did the proof fail, or hold in part?"""

    cause: str
    stage: int
    failed: bool
    """The unit went on as before: something is wrong still."""
    holds: bool = False
    """Its own proof held: this cause is gone, whatever else is wrong."""
    going_on: tuple[str, ...] = ()
    """The complaints that were read to go on after it."""


class RepairedBefore(NamedTuple):
    """The causes repaired before a stage, in order, and those whose first proof failed."""

    causes: tuple[int, ...] = ()
    failed: frozenset[int] = frozenset()

    def left(self, causes: Collection[int], seen: Collection[int] = ()) -> list[int]:
        """Return which of the causes that the unit came with are still there.

        Where the last of them was repaired and its proof failed yet, that repair did not take;
        what was `seen` in plain sight and put right is gone, and another look would show it.
        """
        there = [cause for cause in causes if cause not in self.causes]
        if there:
            return there
        last = [cause for cause in self.causes if cause in causes][-1:]
        return [cause for cause in last if cause in self.failed and cause not in seen]


def repaired_before(stage: float, repairs: Iterable[RepairDone], links: Links) -> RepairedBefore:
    """Return what was repaired before a stage, with all that each repair mends."""
    first: dict[int, bool] = {}
    for repair in repairs:
        if repair.stage < stage:
            untaken = repair.failed and not repair.holds
            for cause in links.mends[links.cause_index[repair.cause]]:
                first.setdefault(cause, untaken)
    return RepairedBefore(tuple(first), frozenset(cause for cause in first if first[cause]))


class Earlier(NamedTuple):
    """The same sign as last read, at an earlier stage, and what was repaired before that."""

    evidence: Evidence
    repaired: RepairedBefore
    among: float
    """The number of states among which a slip of it was as likely."""


Linked = tuple[tuple[int, ...], tuple[int, ...]]
"""Causes that a sign shows now, and those that it showed when it was last read."""
NONE_LINKED: Linked = ((), ())


class Look(NamedTuple):
    """One look at a sign, taken or to come: what was known before it, and how far it counts.

    Evidence weighs by it and the planner predicts by it, so that no look is expected to move
    belief one way. After a repair the same sign tells no new tale twice: with the chance
    `sign_persistence` all that the repair did not take away shows as it did, else it is drawn
    anew. This model of a second look is an idea of ours.
    """

    table: SignTable
    reliability: float = 1.0
    repaired: RepairedBefore = RepairedBefore()
    """What was repaired before: it is no longer there."""
    earlier: Earlier | None = None
    sign_persistence: float = 1.0
    seen: tuple[int, ...] = ()
    """What is in plain sight: the unit came with it, whatever else it came with."""
    plain: bool = True
    """True where a fault that it shows is in plain sight from then on: no slip shows one."""

    def among(self, state: int) -> float:
        """Return among how many states a slip to this one is as likely: none slips to a fault."""
        table, mended = self.table, self.repaired.causes
        faults = [one for one, cause in table.defects.items() if self.plain and cause not in mended]
        shown = table.states[state] in faults
        return math.inf if shown else len(table.states) - len(faults)

    def _with_seen(self, causes: Collection[int]) -> Collection[int]:
        return sorted({*causes, *self.seen}) if self.seen else causes

    def linked(self, causes: Collection[int]) -> Linked:
        """Return which of these causes the sign shows now, and which it showed at the earlier
        look: where both are the same, so are the chances."""
        causes = self._with_seen(causes)
        linked = [cause for cause in causes if cause in self.table.rates]
        left = self.repaired.left(causes, self.seen)
        came = self.earlier.repaired.left(causes, self.seen) if self.earlier else ()
        return (
            tuple([cause for cause in linked if cause in left]),
            tuple([cause for cause in linked if cause in came]),
        )

    def chance(self, state: int, causes: Collection[int]) -> float:
        """Return the chance of a state (0 for the first) under the causes that the unit came
        with, given the earlier look."""
        table = self.table
        if not (self.seen or self.repaired.causes or self.earlier or table.defects):
            return likelihood(table.chances(causes)[state], self.reliability, len(table.states))
        causes = self._with_seen(causes)
        left = self.repaired.left(causes, self.seen)
        now, among = table.chances(left)[state], self.among(state)
        if self.earlier is None:
            return likelihood(now, self.reliability, among)
        before = table.states.index(self.earlier.evidence.state)
        came = self.earlier.repaired.left(causes, self.seen)
        gone = [cause for cause in came if cause not in left]
        once, both = table.chances(came)[before], table.both(gone, left, before, state)
        drawn_anew = not self.table.fleeting.isdisjoint(left)
        return self._mixed(among, now, once, both, 0.0 if drawn_anew else self.sign_persistence)

    def chances(self, causes: Collection[int]) -> tuple[float, ...]:
        """Return the chance of each state under the causes that the unit came with."""
        return tuple([self.chance(state, causes) for state in range(len(self.table.states))])

    def foreseen(self, several: Iterable[Collection[int]]) -> list[tuple[float, ...]]:
        """Return what `chances` does for each of these sets of causes, adding to 1.

        Remembered with the table, unless the sign was read before a repair: each sign is asked for
        before every next act.
        """
        rates, trust = self.table.rates.keys(), self.reliability
        other_slips = self.table.defects and (self.repaired.causes or not self.plain)
        known = {} if self.earlier or other_slips else self.table.as_read
        always = not rates.isdisjoint(self.seen)
        found = []
        unlinked: Chances | None = None
        for causes in several:
            linked = always or not rates.isdisjoint(causes)
            if not linked and unlinked is not None:
                found.append(unlinked)
                continue
            asked = self.linked(causes) if linked else NONE_LINKED, trust
            read = known.get(asked)
            if read is None:
                read = known[asked] = adding_to_one(self.chances(causes))
            unlinked = unlinked if linked else read
            found.append(read)
        return found

    def chance_of_unknown(self, state: int) -> float:
        """Return the chance of a state under something not in the rulebook: flat at first.

        What is not known was not repaired either, and goes on showing what it showed. Of a sign of
        what is in plain sight it says nothing.
        """
        beside = [cause for cause in self.seen if cause in self.table.rates]
        if self.repaired.left(beside, self.seen):
            return self.chance(state, ())
        among = self.among(state)
        if self.earlier is None:
            return max(1 / among, LEAST)
        same = self.table.states[state] == self.earlier.evidence.state
        once = 1 / self.earlier.among
        both = once if same else 0.0
        return self._mixed(among, 1 / among, once, both, self.sign_persistence)

    def chances_of_unknown(self) -> tuple[float, ...]:
        """Return the chance of each state under something not in the rulebook."""
        return tuple([self.chance_of_unknown(state) for state in range(len(self.table.states))])

    def _mixed(self, among: float, now: float, once: float, both: float, persists: float) -> float:
        """Return the chance of what is read, from the chances of the state now, of the earlier
        one, and of both where what showed goes on showing; either reading may be a slip."""
        assert self.earlier is not None
        trust, trusted = self.reliability, self.earlier.evidence.reliability
        anew = likelihood(now, trust, among)
        slip, slipped = (1 - trust) / among, (1 - trusted) / self.earlier.among
        meant = trust * (trusted * both + slipped * now) + slip * (trusted * once + slipped)
        again = meant / likelihood(once, trusted, self.earlier.among)
        return max(persists * again + (1 - persists) * anew, LEAST)


def adding_to_one(chances: Sequence[float]) -> tuple[float, ...]:
    """Return chances over their sum."""
    total = sum(chances)
    return tuple([chance / total for chance in chances])


def possible(evidence: Evidence, links: Links) -> Evidence:
    """Return the evidence itself.

    Raises `KeyError` for an unknown sign and `ValueError` for a state that the sign has not or a
    reliability outside 0 to 1.
    """
    if evidence.state not in links.table(evidence.sign).states:
        raise ValueError(f"`{evidence.sign}` has no state `{evidence.state}`")
    if not 0 <= evidence.reliability <= 1:
        raise ValueError(f"reliability {evidence.reliability} of `{evidence.sign}` is not 0 to 1")
    return evidence


def let_in(said: Iterable[Evidence], links: Links) -> dict[EvidenceKey, Evidence]:
    """Return the evidence that counts, in order of stage and sign.

    Left out are: what has no reliability, which is the same as not said; a sign in two states
    at once; and a sign that another one of the same stage supersedes, so that one fact is not
    counted twice. Of one state said twice the more reliable counts.
    """
    found: dict[EvidenceKey, Evidence] = {}
    torn: set[EvidenceKey] = set()
    for evidence in said:
        if evidence.reliability == 0:
            continue
        key = key_of(evidence)
        other = found.get(key)
        if other is not None and other.state != evidence.state:
            torn.add(key)
        if other is None or evidence.reliability > other.reliability:
            found[key] = evidence
    for key in torn:
        del found[key]
    covered = {(stage, under) for stage, sign in found for under in links.table(sign).supersedes}
    return {key: found[key] for key in sorted(found) if key not in covered}
