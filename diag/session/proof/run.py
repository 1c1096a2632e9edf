"""The run after a repair: what is still to be read, and what it shows.

A cause's own proof tells whether the repair holds, the complaint's whether all is well. What is
read counts from this run alone, but for facts that no repair changes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal as OneOf
from typing import Protocol

from diag.logic.evaluate import Outcome, evaluate, grounds
from diag.model.expression import Condition
from diag.model.frozen import frozen
from diag.model.reading import Reading
from diag.model.rulebook import Complaint, Proof, Rulebook
from diag.reason.chain.engine import Chain
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.offer.reach import AtHand

MOST_READ_AGAIN = 2
"""Readings of one failing condition that are taken again before it is judged."""

Stands = OneOf["held", "failed", "unread", "none"]


class ProofRun(Protocol):
    """What of a session a proof looks at."""

    rulebook: Rulebook
    compiled: CompiledRulebook
    complaints: tuple[str, ...]
    in_proof: str
    now: Chain
    """The conclusions from the readings of this stage, and from what no repair changes."""
    readings: dict[str, Reading]
    confirmed: set[str]
    passes: dict[str, list[int]]
    reach: AtHand

    @property
    def stage(self) -> int:
        """Return how many repairs have been done."""

    def under(self, names: Iterable[str]) -> frozenset[str]:
        """Return the findings on which names rest as things stand."""


@frozen
class ProofLook:
    """A finding to be read for a proof, and the condition that wants it."""

    finding: str
    condition: Condition
    again: bool = False
    """True where it was read in this run and fails: it is read again before that counts."""


@frozen
class RepairResult:
    """How a repair came out: by its own proof, and by that of the complaint."""

    cause: str
    own: Stands
    complaint: Stands
    unread: tuple[str, ...] = ()
    """Findings of the two proofs that nobody could read."""
    lesser: bool = False
    """True where the complaint's lesser proof had to stand for the whole one."""
    failing: tuple[Condition, ...] = ()
    going_on: tuple[str, ...] = ()
    """The complaints of whose proofs something fails."""

    @property
    def proved(self) -> bool:
        """Tell whether the repair holds and the complaint is gone, by readings."""
        missing = self.unread and not self.lesser
        return self.own in ("held", "none") and self.complaint == "held" and not missing

    @property
    def holds(self) -> bool:
        """Tell whether the repair's own proof held, whatever became of the complaint."""
        return self.own == "held"

    @property
    def failed(self) -> bool:
        """Tell whether something is still wrong, as far as was read."""
        return self.own == "failed" or self.complaint == "failed"


@frozen
class Proving:
    """What a proof still wants, in order, and how it came out so far."""

    open: tuple[ProofLook, ...]
    result: RepairResult


def proving(run: ProofRun) -> Proving:
    """Return how the proof of the repair under way stands; without one, that nothing is wrong."""
    cause = run.rulebook.causes.get(run.in_proof)
    known = run.rulebook.complaints
    told = [known[name] for name in run.complaints if name in known]
    own = _Part(run, cause.proof if cause else ())
    whole = _Part(run, [proof for one in told for proof in one.proof])
    fewer = [proof for one in told for proof in one.lesser_proof or one.proof]
    has_lesser = any(one.lesser_proof for one in told)
    lesser = _Part(run, fewer if whole.stands == "unread" and has_lesser else ())
    by_lesser = whole.stands == "unread" and lesser.stands in ("held", "failed")
    looks = dict.fromkeys((*own.looks, *whole.looks, *lesser.looks))
    failing = (*own.failing, *whole.failing, *lesser.failing)
    result = RepairResult(
        run.in_proof,
        own.stands,
        lesser.stands if by_lesser else whole.stands,
        tuple(dict.fromkeys((*own.unread, *whole.unread, *lesser.unread))),
        by_lesser and lesser.stands == "held",
        failing,
        tuple(one.id for one in told if _fails(one, (*whole.failing, *lesser.failing))),
    )
    return Proving(tuple(looks), result)


def _fails(complaint: Complaint, failing: Sequence[Condition]) -> bool:
    return any(one.condition in failing for one in (*complaint.proof, *complaint.lesser_proof))


def shown_unsound(run: ProofRun) -> bool:
    """Tell whether the complaint went on by readings taken again, with no repair made yet.

    Whatever else is believed, the unit is not sound then.
    """
    if run.stage:
        return False
    stands = proving(run)
    return stands.result.complaint == "failed" and not stands.open


class _Part:
    """One list of conditions, held against what was read in this run."""

    def __init__(self, run: ProofRun, proofs: Sequence[Proof]) -> None:
        self._run = run
        outcomes = [evaluate(proof.condition, run.now) for proof in proofs]
        self.looks = [look for outcome in outcomes for look in self._looks(outcome)]
        self.failing = [one.node for one in outcomes if one.truth is False]
        unknown = [one for one in outcomes if one.truth is None]
        self.unread = [name for one in unknown for name in self._left(one)]
        self.stands: Stands = "held"
        if not proofs:
            self.stands = "none"
        elif self.failing:
            self.stands = "failed"
        elif unknown:
            self.stands = "unread"

    def _looks(self, outcome: Outcome) -> Iterator[ProofLook]:
        run = self._run
        if outcome.truth is None:
            for name in self._findings(outcome.missing):
                if not self._is_passed(name) and not self._is_idle(name):
                    yield ProofLook(name, outcome.node)
        elif not outcome.truth:
            read = run.under(grounds(outcome))
            mine = [name for name in run.readings if name in read and self._is_new(name)]
            for name in mine[:MOST_READ_AGAIN]:
                if name not in run.confirmed and not self._is_passed(name):
                    yield ProofLook(name, outcome.node, again=True)

    def _is_new(self, name: str) -> bool:
        return self._run.readings[name].stage == self._run.stage

    def _left(self, outcome: Outcome) -> list[str]:
        names = self._findings(outcome.missing)
        return [name for name in names if self._is_passed(name) or self._is_idle(name)]

    def _is_idle(self, name: str) -> bool:
        """Tell whether what was read in this run leaves nothing to read there."""
        when = self._run.rulebook.findings[name].asked_when
        return when is not None and self._run.now.truth(when) is False

    def _is_passed(self, name: str) -> bool:
        run = self._run
        return run.stage in run.passes.get(name, ()) or name in run.reach.out

    def _findings(self, names: frozenset[str]) -> list[str]:
        return sorted(name for name in names if name in self._run.rulebook.findings)
