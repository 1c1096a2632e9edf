"""What a session can put to its user."""

from __future__ import annotations

from diag.model.expression import Condition
from diag.model.frozen import frozen
from diag.model.rulebook import Cause, Check, Danger, Finding
from diag.reason.plan.choose import Choice
from diag.session.inconsistent import Inconsistency
from diag.session.proof.ending import Ending


@frozen
class Reread:
    """A reading that does not fit, and what taking it again costs and saves."""

    inconsistency: Inconsistency
    finding: str
    check: Check | None
    minutes: float
    going_on: float
    """Expected minutes to a proved repair if it is left as it is."""
    after: float
    """The same if it is taken again now, that included."""


@frozen
class AskFinding:
    """Ask one finding, as part of a check; `opening` is true at the check's first question."""

    finding: Finding
    check: Check | None
    opening: bool
    reason: str
    choice: Choice | None = None
    again: Reread | None = None
    """Why it is asked again, where it was answered before and does not fit."""
    proves: Condition | None = None
    """What it must show for a proof, or to release a danger."""
    fails: bool = False
    """True where it was read in this run and does not show that: read it once more."""
    members: tuple[Check, ...] = ()
    """The checks of the round, where several share a run."""


@frozen
class AskTogether:
    """Ask several yes/no findings in one question; those not named are answered `no`."""

    check: Check
    findings: tuple[Finding, ...]
    reason: str
    choice: Choice | None = None


@frozen
class StopWork:
    """A danger is present: say what to do now, and go on once the user has done it."""

    danger: Danger
    by: str
    """The finding that raised it."""


@frozen
class ProposeRepair:
    """The cause is found, or likely enough: say what to do, and ask whether it was done."""

    cause: Cause
    probability: float
    sure: bool


@frozen
class RunAgain:
    """A proof failed, though all may be mended: look over the work done and run it once more."""

    cause: Cause
    """The one repaired last, whose proof is taken again."""
    probability: float
    """That nothing is left to mend."""


@frozen
class Closing:
    """Nothing more to ask: how it ends, and on what that rests."""

    ending: Ending


Prompt = AskFinding | AskTogether | StopWork | ProposeRepair | RunAgain | Closing


def acts_of(prompt: Prompt) -> frozenset[str]:
    """Return what doing as a prompt says does to the unit."""
    if isinstance(prompt, AskFinding | AskTogether):
        members = prompt.members if isinstance(prompt, AskFinding) else ()
        checks = members or ((prompt.check,) if prompt.check else ())
        return frozenset(act for check in checks for act in check.acts)
    if isinstance(prompt, ProposeRepair):
        return frozenset(prompt.cause.repair.acts)
    return frozenset()
