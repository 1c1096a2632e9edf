"""Whether an event of a journal still says something to a rulebook, which may have changed."""

from __future__ import annotations

from dataclasses import replace

from diag.model.quantity import Quantity
from diag.model.rulebook import Finding, Rulebook, Value
from diag.session.journal.events import Answered, Chosen, Complained, Equipped, Event
from diag.session.journal.recalled import Recalled


def not_known(event: Event, rulebook: Rulebook) -> str:
    """Return in a sentence why an event is left out; empty where it counts.

    Whatever kind it is, its `finding`, `cause` and `danger` must be known.
    """
    for key, known, what in (
        ("finding", rulebook.findings, "its answer"),
        ("cause", rulebook.causes, "its repair"),
        ("danger", rulebook.dangers, "that danger"),
    ):
        name = getattr(event, key, None)
        if name is not None and name not in known:
            return _gone(name, what)
    if isinstance(event, Equipped) and event.profile and event.profile not in rulebook.profiles:
        return _gone(event.profile, "what was said to be at hand")
    if isinstance(event, Chosen) and event.check not in rulebook.checks:
        return _gone(event.check, "that it was chosen")
    if isinstance(event, Complained):
        gone = [name for name in event.complaints if name not in rulebook.complaints]
        return _gone(gone[0], "that complaint") if gone else ""
    if isinstance(event, Answered) and not _fits(event.value, rulebook.findings[event.finding]):
        return f"`{event.finding}` can no longer be answered as it was: that answer is left out"
    return ""


def still_known(event: Recalled, rulebook: Rulebook) -> tuple[Recalled, list[str]]:
    """Return what of the record still says something, and in sentences what is left out."""
    gone = {one.cause for one in (*event.shares, *event.past)} - rulebook.causes.keys()
    kept = [
        tuple(one for one in part if one.cause not in gone) for part in (event.shares, event.past)
    ]
    said = [_gone(name, "what the record says of it") for name in sorted(gone)]
    return replace(event, shares=kept[0], past=kept[1]), said


def _gone(name: str, what: str) -> str:
    return f"the rules no longer know `{name}`: {what} is left out"


def _fits(value: Value, finding: Finding) -> bool:
    """Tell whether a value is an answer to a finding at all."""
    if isinstance(value, Quantity):
        wanted = finding.unit
        return wanted is not None and value.unit.dimension == wanted.dimension
    return value in finding.states or finding.kind == "code"
