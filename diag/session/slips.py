"""What a typed line may be refused for: not understood, doubtful, or taking a danger back."""

from __future__ import annotations

from diag.logic.evaluate import evaluate
from diag.logic.figure import Held
from diag.model.quantity import Quantity
from diag.model.rulebook import Figure, Finding, Value
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


class _OneAnswer:
    """A view of a single answer, for the slips of its finding."""

    def __init__(self, finding: str, answer: Value) -> None:
        self._finding = finding
        self._held: Held = answer if isinstance(answer, Quantity) else frozenset({answer})

    def value(self, name: str) -> Held | None:
        return self._held if name == self._finding else None

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset({name})

    def figure(self, name: str) -> Figure | None:
        return None


def usual_slip(finding: Finding, answer: Value) -> str:
    """Return what to say of an answer that looks like a usual slip; empty where it does not."""
    view = _OneAnswer(finding.id, answer)
    return next((slip.say for slip in finding.slips if evaluate(slip.when, view).truth), "")
