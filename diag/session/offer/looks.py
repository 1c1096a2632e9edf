"""Looks as questions: those that come first, and all readings of one act."""

from __future__ import annotations

from collections.abc import Container, Iterator

from diag.model.rulebook import Check, Finding
from diag.reason.plan.choose import Choice
from diag.session.candidates import due, may_be_done, open_findings
from diag.session.dependencies import bringing, worth_asking
from diag.session.offer.opening import danger_checks
from diag.session.offer.rounds import (
    in_sequence,
    intake_of,
    joining,
    shares,
    sharing,
    still_to_come,
)
from diag.session.prompt import AskFinding, AskTogether
from diag.session.state import SessionState


def first_looks(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    """Yield what every session asks first: safety, then the cheap looks of the complaint."""
    yield from safety_looks(state)
    yield from intake(state)


def safety_looks(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    for check in danger_checks(state.rulebook):
        yield from rest_of(state, check, "safety comes before everything else")


def intake(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    """Yield the cheap looks with which the complaint begins: what tells of its own causes."""
    book, wanted = state.rulebook, worth_asking(state, bringing(state))
    for name in intake_of(state):
        yield from rest_of(state, book.checks[name], "a cheap look that narrows it down", wanted)


def rest_under_way(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    """Yield what of the check under way is still worth asking, with what comes in its run."""
    if state.check:
        begun = () if state.repairs or state.check not in intake_of(state) else bringing(state)
        wanted = None if state.dangers.held else worth_asking(state, begun)
        check = state.rulebook.checks[state.check]
        yield from rest_of(state, check, "it belongs to the check under way", wanted)


def chosen(state: SessionState) -> Iterator[AskFinding | AskTogether]:
    """Yield what is left of the check that the user wants now, or of the run that it shares."""
    if state.chosen:
        check = state.rulebook.checks[state.chosen]
        begun = state.rulebook.checks.get(state.check, check)
        goes_on = begun if begun.run and begun.run == check.run else check
        yield from rest_of(state, goes_on, "you chose it")


def rest_of(
    state: SessionState, check: Check, reason: str, wanted: Container[str] | None = None
) -> Iterator[AskFinding | AskTogether]:
    """Yield what of a check is still to be asked; of one under way, what comes in its run too.

    Where `wanted` is given, nothing else is asked.
    """
    if not may_be_done(state, check):
        return
    findings = due(state, open_findings(state, check), wanted)
    if shares(state, check) and check.id == state.check:
        for finding, own in still_to_come(state, check.run, _round(state, check)):
            if due(state, [finding], wanted):
                yield AskFinding(finding, own, False, reason)
                return
    elif findings:
        yield ask(state, check, findings, reason)


def ask(
    state: SessionState,
    check: Check,
    findings: tuple[Finding, ...],
    reason: str,
    choice: Choice | None = None,
) -> AskFinding | AskTogether:
    """Return the first question of a check, or of the round of checks that it opens."""
    wanted = worth_asking(state)
    now = due(state, findings, wanted) or due(state, findings)
    if check.together and check.id not in state.done_checks:
        return AskTogether(check, now, reason, choice)
    if not shares(state, check):
        return AskFinding(now[0], check, check.id != state.check, reason, choice)
    round_ = _round(state, check)
    able = [one for one in round_ if due(state, one[:1])]
    finding, first = next((one for one in able if one[0].id in wanted), able[0])
    members = {own.id: own for _, own in round_}
    return AskFinding(finding, first, True, reason, choice, members=tuple(members.values()))


def _round(state: SessionState, check: Check) -> list[tuple[Finding, Check]]:
    """Return what is read together with a check in the run that it shares, itself among it."""
    others = sharing(state, check.run)
    able = [(one, open_findings(state, one)) for one in others if may_be_done(state, one)]
    begun = open_findings(state, check)
    joined = joining(state, [one for one in able if one[1] and one[0] is not check], begun)
    return in_sequence(state, check.run, [*(one for one in able if one[0] is check), *joined])
