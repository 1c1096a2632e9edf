"""What a typed line may be refused for: not understood, doubtful, or taking a danger back."""

from __future__ import annotations

from diag.logic.evaluate import evaluate
from diag.model.quantity import plain_number
from diag.model.rulebook import Finding, Value
from diag.model.work import UsualSlip
from diag.reason.chain.engine import Chain
from diag.rulebook.answer import with_error
from diag.rulebook.kinds import KINDS
from diag.session.journal.events import Corrected, Undone
from diag.session.state import SessionState


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


def unlisted(finding: Finding, answer: Value, state: SessionState) -> str:
    """Return in a sentence that a code is not in the unit's own list; empty where it is."""
    unit = state.unit
    if not KINDS[finding.kind].is_coded or unit is None or not unit.codes:
        return ""
    shown = answer if isinstance(answer, str) else plain_number(answer.value)
    if shown == "0" or shown in unit.codes:
        return ""
    return (
        f"`{shown}` is not among the codes of `{unit.id}`; look it up in the manual, and add it "
        "to the unit's file under `codes`"
    )


def usual_slip(finding: Finding, answer: Value, state: SessionState) -> UsualSlip | None:
    """Return the usual slip that an answer looks like, if any.

    The answer is seen beside the unit's data and what was read before it at this stage.
    """
    if not finding.slips:
        return None
    known = _told(finding, answer, state)
    return next((slip for slip in finding.slips if evaluate(slip.when, known).truth), None)


def raises_danger(finding: Finding, answer: Value, state: SessionState) -> bool:
    """Tell whether an answer belongs to the first questions of danger, or makes one true.

    Seen beside the unit's data and what was read before it at this stage.
    """
    book = state.rulebook
    if finding.id in book.asked_first:
        return True
    if finding.id not in book.safety_findings:
        return False
    return any(fact.kind == "danger" for fact in _told(finding, answer, state).facts)


def _told(finding: Finding, answer: Value, state: SessionState) -> Chain:
    known = Chain(state.compiled.network, state.unit)
    known.tell_all({**state.now.told, finding.id: with_error(answer, finding.id, state.unit)})
    return known
