"""What a user can look at at a question: how it is done, and why it is asked."""

from __future__ import annotations

from diag.cli.account.where import told_time
from diag.cli.ask.past import told_record
from diag.cli.ask.why import show_derivation
from diag.cli.terminal.prompts import show_cautions, show_stop
from diag.cli.terminal.screen import Screen
from diag.model.phrasing import capital
from diag.model.rulebook import Finding
from diag.reason.plan.choose import Ranked
from diag.reason.plan.decision_problem import NOTHING
from diag.session.commands import WORDS
from diag.session.dependencies import told_of_by
from diag.session.offer.choosing import time_from_here
from diag.session.prompt import AskFinding, AskTogether, Prompt, ProposeRepair, StopWork
from diag.session.proof.measuring import measuring_here
from diag.session.state import SessionState

MOST_CAUSES = 5


def show_help(screen: Screen, state: SessionState, prompt: Prompt) -> None:
    """Say which words work at every prompt, and below, nearest to it, how to do what is asked."""
    screen.say("At every prompt:")
    screen.table((spellings[0], what) for spellings, what in WORDS.values())
    check = prompt.check if isinstance(prompt, AskFinding | AskTogether) else None
    if check is not None:
        screen.heading(f"How: {check.id}")
        screen.say(check.do)
        show_cautions(screen, state.rulebook.cautions, check.cautions)
    if isinstance(prompt, StopWork):
        show_stop(screen, prompt.danger)
    if isinstance(prompt, AskFinding):
        show_how_to_take(screen, state, prompt.finding)


def show_how_to_take(screen: Screen, state: SessionState, finding: Finding) -> None:
    """Say how to take a reading; where lines are drawn, with its drawing."""
    for label, text in measuring_here(state, finding, drawn=screen.draws):
        screen.item(label, text, indent=0, width=8)
    if finding.measure and screen.draws:
        screen.lines(f" {line}" for line in finding.measure.drawing)
    if finding.help:
        screen.say(finding.help)
    if finding.believable:
        low, high = finding.believable
        screen.say(f"Believable: {low} to {high}.")


def show_why(screen: Screen, state: SessionState, prompt: Prompt) -> None:
    """Say why this is asked, what it may tell of, and what would come next best."""
    if not isinstance(prompt, AskFinding | AskTogether):
        if isinstance(prompt, ProposeRepair):
            show_derivation(screen, state, prompt.cause.id)
        else:
            screen.say("The readings so far lead here; `where` shows them.")
        return
    told = told_of_by(state, prompt.finding.id) if isinstance(prompt, AskFinding) else ()
    if told:
        titles = "; ".join(state.rulebook.causes[name].title for name in told[:MOST_CAUSES])
        more = f"; and {len(told) - MOST_CAUSES} more" if len(told) > MOST_CAUSES else ""
        screen.say(f"It may speak for or against: {titles}{more}.")
    screen.say(f"{capital(prompt.reason)}.")
    for line in told_record(state):
        screen.say(line)
    if prompt.choice is not None:
        screen.say(told_time(time_from_here(state)))
        ranked = (prompt.choice.best, *prompt.choice.runners_up)
        screen.table((f"{place}.", _act(one)) for place, one in enumerate(ranked, 1))


def _act(one: Ranked) -> str:
    if one.kind == "stop":
        return "stop here and hand it over"
    if one.name == NOTHING:
        return "change nothing, and run it to prove that it is sound"
    return f"{one.kind} first: {one.name}"
