"""Looks as questions: those that come first, and all readings of one act."""

from __future__ import annotations

from collections.abc import Iterator

from diag.model.rulebook import Check, Finding
from diag.reason.plan.choose import Choice
from diag.session.candidates import allowed, can_be_done, open_findings
from diag.session.prompt import AskFinding, AskTogether
from diag.session.state import SessionState


def first_looks(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    """Yield what every session asks first: safety, then the cheap looks of the complaint."""
    yield from safety_looks(state)
    yield from intake(state)


def safety_looks(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    book = state.rulebook
    for check in book.checks.values():
        if book.asked_first.intersection(check.yields):
            yield from rest_of(state, check, "safety comes before everything else")


def intake(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    book = state.rulebook
    complaint = book.complaints.get(state.complaint)
    for name in complaint.intake if complaint else ():
        yield from rest_of(state, book.checks[name], "a cheap look that narrows it down")


def rest_of(
    state: SessionState, check: Check, reason: str, choice: Choice | None = None
) -> Iterator[AskFinding | AskTogether]:
    findings = open_findings(state, check)
    if findings and can_be_done(state, check) and allowed(state, check) and not check.held_back:
        yield ask(state, check, findings, reason, choice)


def ask(
    state: SessionState,
    check: Check,
    findings: tuple[Finding, ...],
    reason: str,
    choice: Choice | None = None,
) -> AskFinding | AskTogether:
    if check.together and check.id not in state.done_checks:
        return AskTogether(check, findings, reason, choice)
    return AskFinding(findings[0], check, check.id != state.check, reason, choice)
