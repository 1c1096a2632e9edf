"""What a typed line may be refused for: not understood, doubtful, or taking a danger back."""

from __future__ import annotations

from diag.logic.evaluate import evaluate
from diag.logic.figure import View
from diag.model.rulebook import Finding, UsualSlip
from diag.session.journal.events import Corrected, Undone


class NotUnderstood(ValueError):
    """The line is no answer to what was asked; the sentence says what would be."""


class Doubtful(NotUnderstood):
    """The answer looks like a usual slip; the same answer again is taken as meant."""


class TakesDangerBack(NotUnderstood):
    """What was asked for would take a danger back: only a slip does that, and it is confirmed."""

    def __init__(self, dangers: tuple[str, ...], event: Corrected | Undone) -> None:
        super().__init__("that would take a danger back; say first whether it was a slip")
        self.dangers = dangers
        self.event = event


def usual_slip(finding: Finding, known: View) -> UsualSlip | None:
    """Return the usual slip that an answer looks like, if any.

    `known` holds the answer beside the unit's data and what was read before it at this stage.
    """
    return next((slip for slip in finding.slips if evaluate(slip.when, known).truth), None)
