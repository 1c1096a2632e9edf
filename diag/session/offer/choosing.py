"""What is best of all that is offered, and how long it is from here to a proved repair."""

from __future__ import annotations

from collections.abc import Sequence

from diag.reason.belief.belief import Belief
from diag.reason.plan.choose import Choice, TimeAhead, choose, time_ahead
from diag.reason.plan.costs import extra_minutes, opened_by
from diag.reason.plan.decision_problem import NOTHING, CandidateCheck, Outlook
from diag.session.candidates import candidate_checks
from diag.session.repairing import evidence as repairing
from diag.session.state import SessionState


def choice_of(
    state: SessionState, offered: Sequence[CandidateCheck], belief: Belief | None = None
) -> Choice:
    """Return the best next act and its runners-up, on what is believed unless told otherwise.

    To turn down another run after a failed proof, whose cause is mended already, is to turn down
    that nothing is wrong; with no repair made there is nothing to run again.
    """
    return choose(_outlook(state, offered, belief))


def time_from_here(state: SessionState) -> TimeAhead:
    """Return the minutes of work and of waiting expected from here to a proved repair."""
    return time_ahead(_outlook(state, candidate_checks(state)))


def _outlook(
    state: SessionState, offered: Sequence[CandidateCheck], belief: Belief | None = None
) -> Outlook:
    repaired = frozenset(repair.cause for repair in state.repairs)
    vain = repaired & state.declined or (state.proof_failed and not repaired)
    once_more = {NOTHING} if vain else frozenset[str]()
    return Outlook(
        state.rulebook,
        belief or state.belief,
        offered,
        opened_by(state.rulebook, state.done_checks),
        repaired | state.declined | once_more | repairing.unmade(state),
        state.proof_failed,
        extra_minutes(state.rulebook, state.unit, state.done_checks),
    )
