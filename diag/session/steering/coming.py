"""What is coming: the acts that would follow if each before them were passed over."""

from __future__ import annotations

from diag.session.journal.events import Answered, Declined, Event, Heeded, Together
from diag.session.next_prompt import next_prompt
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    RunAgain,
    StopWork,
)
from diag.session.state import SessionState
from diag.session.steering.passing import check_passed


def coming(state: SessionState, most: int) -> tuple[Prompt, ...]:
    """Return up to so many prompts behind the present one, each of an act of its own.

    What is asked together is taken as sound, as its questions would come back one by one.

    The journal is left as it is. What is found may change all of it.
    """
    ahead = SessionState(state.rulebook, state.unit, state.opened_with, state.compiled)
    ahead.replay(state.journal)
    found: list[Prompt] = []
    acts: list[str] = []
    while len(found) <= most and len(acts) < len(state.rulebook.findings):
        prompt = next_prompt(ahead)
        acts.append(_act(prompt))
        if acts.count(acts[-1]) == 1:
            found.append(prompt)
        if isinstance(prompt, Closing):
            break
        ahead.apply(_passed(ahead, prompt))
    return tuple(found[1 : most + 1])


def _act(prompt: Prompt) -> str:
    """Return what tells one act from another."""
    if isinstance(prompt, AskFinding | AskTogether) and prompt.check is not None:
        return f"check {prompt.check.id}"
    if isinstance(prompt, AskFinding):
        return f"finding {prompt.finding.id}"
    return repr(prompt)


def _passed(state: SessionState, prompt: Prompt) -> Event:
    if isinstance(prompt, StopWork):
        return Heeded(prompt.danger.id)
    if isinstance(prompt, ProposeRepair | RunAgain):
        return Declined(prompt.cause.id)
    if isinstance(prompt, AskTogether):
        named = [(one.id, one.states[0], one.how) for one in prompt.findings]
        return Together(tuple(Answered(*one, "", prompt.check.id) for one in named))
    return check_passed(state, prompt)
