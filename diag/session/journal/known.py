"""Whether an event of a journal still says something to a rulebook, which may have changed."""

from __future__ import annotations

from diag.model.quantity import Quantity
from diag.model.rulebook import Finding, Rulebook, Value
from diag.session.journal.events import Answered, Declined, Event, Heeded, Passed, Repaired


def not_known(event: Event, rulebook: Rulebook) -> str:
    """Return in a sentence why an event is left out; empty where it counts."""
    if isinstance(event, Answered | Passed):
        finding = rulebook.findings.get(event.finding)
        if finding is None:
            return _gone(event.finding, "its answer")
        if isinstance(event, Answered) and not _fits(event.value, finding):
            return f"`{event.finding}` can no longer be answered as it was: that answer is left out"
    elif isinstance(event, Repaired | Declined) and event.cause not in rulebook.causes:
        return _gone(event.cause, "its repair")
    elif isinstance(event, Heeded) and event.danger not in rulebook.dangers:
        return _gone(event.danger, "that danger")
    return ""


def _gone(name: str, what: str) -> str:
    return f"the rules no longer know `{name}`: {what} is left out"


def _fits(value: Value, finding: Finding) -> bool:
    """Tell whether a value is an answer to a finding at all."""
    if isinstance(value, Quantity):
        wanted = finding.unit
        return wanted is not None and value.unit.dimension == wanted.dimension
    return value in finding.states or finding.kind == "code"
