"""What a user can look at in the middle of a session: help, reasons, and where things stand."""

from __future__ import annotations

from diag.cli.terminal.prompts import show_cautions, show_stop
from diag.cli.terminal.screen import Screen
from diag.model.quantity import plain_number
from diag.model.rulebook import Finding
from diag.reason.belief.weigh import Weight, weigh, weigh_against
from diag.reason.plan.choose import Ranked, TimeAhead
from diag.reason.plan.decision_problem import NOTHING
from diag.reason.plan.verdict import leading
from diag.session.commands import WORDS
from diag.session.dependencies import told_of_by
from diag.session.derivation import cause_named
from diag.session.inconsistent import Inconsistency, RuleFault, inconsistency_in, rule_faults
from diag.session.next_prompt import time_from_here
from diag.session.prompt import AskFinding, AskTogether, Prompt, StopWork
from diag.session.proof.measuring import measuring_here
from diag.session.result import shown, told_fact
from diag.session.state import SessionState

MOST_CAUSES = 5
MOST_REASONS = 3


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
        screen.say("The readings so far lead here; `where` shows them, and `why NAME` the reasons.")
        return
    told = told_of_by(state, prompt.finding.id) if isinstance(prompt, AskFinding) else ()
    if told:
        titles = "; ".join(state.rulebook.causes[name].title for name in told[:MOST_CAUSES])
        more = f"; and {len(told) - MOST_CAUSES} more" if len(told) > MOST_CAUSES else ""
        screen.say(f"It may speak for or against: {titles}{more}.")
    screen.say(prompt.reason[:1].upper() + prompt.reason[1:] + ".")
    if prompt.choice is not None:
        screen.say(_time_ahead(time_from_here(state)))
        ranked = (prompt.choice.best, *prompt.choice.runners_up)
        screen.table((f"{place}.", _act(one)) for place, one in enumerate(ranked, 1))


def _time_ahead(ahead: TimeAhead) -> str:
    waiting = f" and {ahead.waiting:.0f} min of waiting" if ahead.waiting >= 1 else ""
    parts = "; parts come on top" if ahead.parts >= 1 else ""
    return f"About {ahead.work:.0f} min of work{waiting} from here to a proved repair{parts}."


def _act(one: Ranked) -> str:
    if one.kind == "stop":
        return "stop here and hand it over"
    if one.name == NOTHING:
        return "change nothing, and run it to prove that it is sound"
    return f"{one.kind} first: {one.name}"


def show_where(screen: Screen, state: SessionState) -> None:
    """Show dangers, readings, conclusions, and the leading causes with what speaks for them."""
    _dangers(screen, state)
    show_readings(screen, state)
    facts = [told_fact(state, fact) for fact in state.chain.facts if fact.kind == "sign"]
    if facts:
        screen.say("So: " + "; ".join(facts) + ".")
    screen.heading("Causes")
    posterior = state.posterior
    for name, share in posterior.ranking[:MOST_CAUSES]:
        if share < 0.005:
            continue
        bar = f"{'#' * round(20 * share):20} " if screen.draws else ""
        screen.item(f"{share:5.0%}", f"{bar}{state.rulebook.causes[name].title}", width=5)
        weights = [one for one in weigh(state.belief, name) if one.kind == "sign"]
        if weights:
            screen.say(_weights(weights[:MOST_REASONS]), indent=8)
    screen.item(f"{posterior.nothing:5.0%}", "nothing wrong with the unit", width=5)
    screen.item(f"{posterior.unknown:5.0%}", "something that the rules do not know", width=5)
    for fault in rule_faults(state):
        show_rule_fault(screen, fault)
    inconsistency = inconsistency_in(state)
    if inconsistency:
        show_inconsistency(screen, inconsistency)


def _dangers(screen: Screen, state: SessionState) -> None:
    """Say which dangers hold, by which reading, what they forbid and what releases them."""
    for name, standing in sorted(state.dangers.held.items()):
        danger = state.rulebook.dangers[name]
        screen.heading(f"DANGER holds: {danger.title}", alarm=True)
        screen.say(f"Raised by `{standing.by}`. Forbidden: {'; '.join(danger.forbids)}.")
        screen.say(f"Work may go on when: {danger.resume_when}")


def show_readings(screen: Screen, state: SessionState) -> None:
    """List every accepted answer."""
    screen.heading("Readings")
    screen.table(
        (name, shown(reading.value), reading.how) for name, reading in state.readings.items()
    )


def _weights(weights: list[Weight]) -> str:
    return "; ".join(
        f"{'for' if one.decibans > 0 else 'against'} `{one.name}: {one.state}` "
        f"({one.decibans:+.1f} points)"
        for one in weights
    )


def show_inconsistency(screen: Screen, inconsistency: Inconsistency) -> None:
    """Name the readings that do not fit the others."""
    names = ", ".join(f"`{name}`" for name in inconsistency.readings)
    lead = "These cannot all be true: " if inconsistency.certain else ""
    text = f"{lead}{inconsistency.say}; take {names} again."
    screen.say(text[:1].upper() + text[1:])


def show_rule_fault(screen: Screen, fault: RuleFault) -> None:
    """Tell of rules that contradict each other, where they stand, and what becomes of them."""
    screen.say(
        f"The rules contradict each other about `{fault.sign}`. That is a fault of the rulebook, "
        "not of your readings; the session goes on with neither.",
        bold=True,
    )
    for rule in fault.rules:
        screen.say(f"`{rule.id}` says {rule.then}, in {rule.place}", indent=2)


def show_why_not(screen: Screen, state: SessionState, wanted: str) -> None:
    """Weigh a cause against the leading one."""
    causes = state.rulebook.causes
    found = cause_named(state.rulebook, wanted)
    if found is None:
        screen.say(f"There is no cause `{wanted[:40]}`; `where` shows the leading ones.")
        return
    if found in state.belief.excluded:
        screen.say(f"{causes[found].title}: ruled out.")
        return
    share = state.posterior.causes[found]
    screen.say(f"{causes[found].title}: {share:.1%}.")
    first = leading(state.posterior, state.declined)[0]
    if first in causes and first != found:
        screen.say(f"Against it, compared with: {causes[first].title}")
        weights = weigh_against(state.belief, first, found)
    else:
        weights = weigh(state.belief, found)
    screen.table(
        (f"{plain_number(round(one.decibans, 1))} points", one.label) for one in weights[:8]
    )
