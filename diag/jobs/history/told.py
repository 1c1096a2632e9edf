"""What a history holds, as plain data. Times are in UTC, as ISO 8601 writes them."""

from __future__ import annotations

from collections.abc import Mapping

from diag.jobs.history.limits import ReadingLimit
from diag.jobs.pictures.drawn import JobPicture
from diag.model.frozen import frozen
from diag.model.rulebook import How, UnitData, Value
from diag.session.account.course import Believed
from diag.session.account.reasons import Reasons
from diag.session.account.spent import Spent
from diag.session.journal.effective import TakenBack
from diag.session.prompt import Closing, Prompt
from diag.session.proof.run import RepairResult, Stands


@frozen
class Taken:
    """One reading as it was taken; `stage` counts the repairs of its session made before it."""

    finding: str
    value: Value
    how: How
    at: str
    check: str
    stage: int
    limit: ReadingLimit
    meter: str = ""
    """What the meter may be out by at this reading; empty where that is not known."""


@frozen
class RepairMade:
    """A repair, why it was made, and what its proof showed; `result` None while nothing is read."""

    cause: str
    at: str
    share: float
    """How likely the cause was when it was made."""
    reasons: Reasons
    result: RepairResult


@frozen
class DangerSeen:
    """A danger: the reading that raised it, and the one that released it; empty while it holds."""

    danger: str
    raised_by: str
    raised: Value
    raised_at: str
    released_by: str = ""
    released: Value = ""
    released_at: str = ""

    @property
    def holds(self) -> bool:
        """Tell whether no reading has released it yet."""
        return not self.released_by


@frozen
class ProofStand:
    """A condition of the complaint's proof, as it is written, and how it stands."""

    condition: str
    stands: Stands
    read: tuple[tuple[str, Value], ...] = ()
    """The readings since the last repair on which it rests."""
    missing: tuple[str, ...] = ()
    """The findings that were not read."""


@frozen
class PutForward:
    """A cause in question, with how likely it is and why."""

    cause: str
    share: float
    reasons: Reasons


@frozen
class SessionHistory:
    """A session of a job, told from its journal."""

    session: str
    started: str
    unit: UnitData
    complaints: tuple[str, ...]
    outcome: str | None
    rules_changed: bool
    left_out: tuple[str, ...]
    """Sentences on entries that say nothing to these rules."""
    readings: tuple[Taken, ...]
    repairs: tuple[RepairMade, ...]
    dangers: tuple[DangerSeen, ...]
    slips: tuple[TakenBack, ...]
    passed: Mapping[str, str]
    """Findings that were passed over, to the reason."""
    out_of_reach: tuple[str, ...]
    """Findings for which what they take was not at hand."""
    declined: tuple[str, ...]
    notes: tuple[str, ...]
    beliefs: tuple[Believed, ...]
    suspects: tuple[PutForward, ...]
    """The likeliest causes as the session stands, while no repair is proved."""
    proof: tuple[ProofStand, ...]
    """The complaint's proof, as it stands by what was read since the last repair."""
    signs: tuple[str, ...]
    """What follows from the readings as they stand."""
    pictures: tuple[tuple[int, JobPicture], ...]
    """What can be drawn of each stage."""
    comes_next: Prompt
    spent: Spent
    """What it took, by the rules."""

    @property
    def is_well(self) -> bool:
        """Tell whether it ended with the complaint gone, or with nothing found wrong."""
        ends = self.comes_next
        return isinstance(ends, Closing) and ends.ending.kind in ("proved", "nothing wrong")


@frozen
class JobHistory:
    """All sessions of a job that can be read, in order, and sentences on those that cannot."""

    sessions: tuple[SessionHistory, ...]
    left_out: tuple[str, ...]
