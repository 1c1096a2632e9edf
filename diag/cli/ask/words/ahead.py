"""`next 3`: what is coming, act by act."""

from __future__ import annotations

from diag.cli.terminal.prompts import where_and_with
from diag.cli.terminal.screen import Screen
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
from diag.session.steering.coming import coming

MOST = 9


def show_coming(screen: Screen, state: SessionState, count: int) -> None:
    """List up to so many acts that follow the present question."""
    found = coming(state, min(max(count, 1), MOST))
    if not found:
        screen.say("Nothing more is coming.")
        return
    screen.say("What is coming, unless the answers change it:", bold=True)
    for number, prompt in enumerate(found, 1):
        screen.item(str(number), _told(state, prompt), width=2)


def _told(state: SessionState, prompt: Prompt) -> str:
    if isinstance(prompt, AskFinding | AskTogether):
        check = prompt.check
        asked = prompt.finding.ask if isinstance(prompt, AskFinding) else prompt.check.together
        return f"{check.id} ({where_and_with(state.rulebook, check)})" if check else asked
    if isinstance(prompt, StopWork):
        return f"STOP: {prompt.danger.title}"
    if isinstance(prompt, ProposeRepair):
        return f"repair: {prompt.cause.title}"
    if isinstance(prompt, RunAgain):
        return f"once more: {prompt.cause.title}"
    assert isinstance(prompt, Closing)
    return f"the end: {prompt.ending.kind}"
