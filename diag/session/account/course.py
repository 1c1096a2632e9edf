"""How belief moved from answer to answer, worked out from the journal anew."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen
from diag.model.rulebook import Value
from diag.session.journal.effective import effective
from diag.session.journal.events import Answered, Repaired
from diag.session.state import SessionState


@frozen
class BeliefStep:
    """An answer, or a repair, and what was believed once it counted, in shares from 0 to 1.

    `told` is empty in the first step, that of the complaint alone; `value` is None for a repair.
    """

    told: str
    value: Value | None
    shares: Mapping[str, float]
    """Of each cause."""
    nothing: float
    unknown: float


def belief_course(state: SessionState) -> tuple[BeliefStep, ...]:
    """Return belief before the first answer, and after each that counts, in order.

    A correction stands where the answer was that it corrects, and what was taken back is not there.
    """
    so_far = SessionState(state.rulebook, state.unit, state.opened_with, state.compiled)
    steps = [_step(so_far, "", None)]
    for entry in effective(state.journal):
        so_far.apply(entry.event)
        if isinstance(entry.event, Answered):
            steps.append(_step(so_far, entry.event.finding, entry.event.value))
        elif isinstance(entry.event, Repaired):
            steps.append(_step(so_far, entry.event.cause, None))
    return tuple(steps)


def _step(state: SessionState, told: str, value: Value | None) -> BeliefStep:
    now = state.posterior
    return BeliefStep(told, value, now.causes, now.nothing, now.unknown)
