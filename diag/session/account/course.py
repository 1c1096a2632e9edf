"""How belief moved from act to act, worked out from the journal anew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from diag.model.frozen import frozen
from diag.session.journal.effective import effective
from diag.session.journal.events import Answered, Event, Repaired
from diag.session.journal.known import not_known
from diag.session.result import shown
from diag.session.state import SessionState

COMPLAINT = "the complaint alone"
USUAL = "no"
"""The answer of what was not there, among several that were given at once."""


@frozen
class Believed:
    """An act that counts, and what was believed after it, in shares from 0 to 1."""

    act: tuple[Answered | Repaired, ...]
    """What was answered at once, or repaired; nothing in the first step."""
    shares: Mapping[str, float]
    """Of each cause."""
    nothing: float
    unknown: float

    @property
    def repaired(self) -> str:
        """Return the cause that was repaired; empty for an answer."""
        return next((one.cause for one in self.act if isinstance(one, Repaired)), "")

    @property
    def names(self) -> tuple[str, str]:
        """Return what was asked and what was answered; of a joint answer what is not usual."""
        if self.repaired:
            return "repair", self.repaired
        answers = [one for one in self.act if isinstance(one, Answered)]
        if not answers:
            return COMPLAINT, ""
        if len(answers) == 1:
            return answers[0].finding, shown(answers[0].value)
        odd = [one.finding for one in answers if one.value != USUAL]
        return (", ".join(odd), "") if odd else (answers[0].check or "answers", "none")

    @property
    def after(self) -> str:
        """Return in words after what this was believed."""
        return ": ".join(filter(None, self.names))


def belief_course(state: SessionState) -> tuple[Believed, ...]:
    """Return belief before the first answer, and after each act that answers or repairs, in order.

    A correction stands where the answer was that it corrects, and what was taken back is not there,
    nor what these rules no longer know.
    """
    so_far = SessionState(state.rulebook, state.unit, state.opened_with, state.compiled)
    steps = [_step(so_far, ())]
    kept = [one for one in effective(state.journal) if not not_known(one.event, state.rulebook)]
    for _, entries in groupby(kept, key=lambda one: one.number):
        act = [one.event for one in entries]
        for event in act:
            so_far.apply(event)
        if any(isinstance(one, Answered | Repaired) for one in act):
            steps.append(_step(so_far, act))
    return tuple(steps)


def _step(state: SessionState, act: Sequence[Event]) -> Believed:
    now = state.posterior
    told = tuple(one for one in act if isinstance(one, Answered | Repaired))
    return Believed(told, dict(now.causes), now.nothing, now.unknown)
