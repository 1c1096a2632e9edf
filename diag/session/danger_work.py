"""What may be done about a danger: the checks that explain it, and the readings that release it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.reason.plan.decision_problem import CandidateCheck
from diag.session.candidates import allowed, check_of
from diag.session.dangers import findings_under
from diag.session.dependencies import findings_of
from diag.session.prompt import AskFinding
from diag.session.state import SessionState

MOST_PASSES = 2
"""How often a reading that would release a danger is asked for and passed over."""


def explaining(
    state: SessionState, offered: Sequence[CandidateCheck]
) -> tuple[CandidateCheck, ...]:
    """Return the checks that tell of the causes which may have brought the dangers about.

    Those are the causes linked to a sign that rests on the readings which raise them.
    """
    tables = state.compiled.links.tables
    raising = {one.by for one in state.dangers.held.values()}
    causes = {
        cause
        for table in tables
        if raising & findings_of(state, table.sign)
        for cause in table.given
    }
    telling = {table.sign for table in tables if causes.intersection(table.given)}
    return tuple(one for one in offered if telling.intersection(one.signs))


def releasing(state: SessionState, held_back: bool = False) -> Iterator[AskFinding]:
    """Yield the readings that would release what holds, as far as they can be taken now.

    A check that is held back and does something to the unit waits until a repair was made since
    the danger, or until it is wanted here, as nothing else is left.
    """
    for name, standing in sorted(state.dangers.held.items()):
        danger = state.rulebook.dangers[name]
        wanted = findings_under(danger.released_when, state.rulebook, state.compiled.below)
        later = state.since(standing.since)
        missing = later.missing_for(danger.released_when)
        for finding in wanted:
            taken = state.moments.get(finding, -1) > standing.since
            passed = len(state.passes.get(finding, ())) >= MOST_PASSES
            if taken or passed or (missing and finding not in missing):
                continue
            check = check_of(state, finding)
            if check is None or not allowed(state, check):
                continue
            waits = check.held_back and check.acts
            if waits and not (held_back or state.repaired_since(standing.since)):
                continue
            why = f"it may release the danger: {danger.title.lower()}"
            known = state.rulebook.findings[finding]
            opening = check.id != state.check
            yield AskFinding(known, check, opening, why, proves=danger.released_when)
