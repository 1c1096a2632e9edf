"""What may be done about a danger: the checks that explain it, and the readings that release it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from diag.logic.rests_on import findings_under
from diag.reason.plan.decision_problem import CandidateCheck
from diag.session.candidates import check_of, readable
from diag.session.dangers.watch import Conclusions, Passage
from diag.session.dependencies import findings_of
from diag.session.prompt import AskFinding
from diag.session.state import SessionState


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


def no_deeper(
    state: SessionState, near: Sequence[CandidateCheck], release: Sequence[AskFinding]
) -> tuple[CandidateCheck, ...]:
    """Return the checks that take no more apart than the looks that may release a danger do.

    All of them where there is none: nobody takes a thing apart before looking into it.
    """
    access = state.rulebook.scales.access
    depths = [access.get(one.check.access, 0.0) for one in release if one.check]
    most = max(depths, default=inf)
    return tuple(one for one in near if access.get(one.check.access, 0.0) <= most)


def releasing(state: SessionState, held_back: bool = False) -> Iterator[AskFinding]:
    """Yield the readings that would release what holds, as far as they can be taken now.

    A check that is held back and does something to the unit waits until a repair was made since
    the danger, or until it is wanted here, as nothing else is left. What was read for this and
    raised the danger again, or was passed over, is not asked once more before a repair. A defect in
    plain sight is looked at again after one.
    """
    for name, standing in sorted(state.dangers.held.items()):
        danger = state.rulebook.dangers[name]
        seen = _in_sight(state, name)
        in_sight = {one for one in seen if state.repaired_since(state.moments[one])}
        wanted = findings_under(danger.released_when, state.rulebook.findings, state.compiled.below)
        outcome = state.since(standing.since).outcome(danger.released_when)
        again = outcome.truth is False and state.repaired_since(standing.since)
        if outcome.truth is False and not again:
            continue
        for finding in (*sorted(in_sight), *wanted):
            moment = state.moments.get(finding, -1)
            taken = moment > standing.since and not (again and state.repaired_since(moment))
            passed_at = state.passed_at.get(finding, -1)
            passed = passed_at > standing.since and not state.repaired_since(passed_at)
            vain = finding in _in_vain(state, name)
            needed = again or finding in outcome.missing or finding in in_sight
            if taken or passed or vain or not needed:
                continue
            check = check_of(state, finding)
            if check is None or not readable(state, check, finding):
                continue
            waits = check.held_back and check.acts
            if waits and not (held_back or state.repaired_since(standing.since)):
                continue
            why = f"it may release the danger: {danger.title.lower()}"
            known = state.rulebook.findings[finding]
            opening = check.id != state.check
            proves = danger.released_when if finding in wanted else None
            yield AskFinding(known, check, opening, why, proves=proves)


def _in_sight(state: SessionState, danger: str) -> frozenset[str]:
    """Return the findings by whose latest look a defect in plain sight raises a danger."""
    return state.dangers.in_sight(danger, Conclusions(state.chain, state.under, state.since))


def not_read_for(state: SessionState, danger: str) -> tuple[str, ...]:
    """Return the findings that a danger which holds still wants read to be released."""
    since, when = state.dangers.held[danger].since, state.rulebook.dangers[danger].released_when
    return tuple(sorted(state.since(since).outcome(when).missing))


def _in_vain(state: SessionState, danger: str) -> frozenset[str]:
    """Return the findings that raised a danger again while it held, and since the last repair."""
    held: list[Passage] = []
    for passage in state.dangers.passages:
        if passage.danger == danger:
            held = [*held, passage] if passage.what == "raised" else []
    return frozenset(one.by for one in held[1:] if not state.repaired_since(one.moment))
