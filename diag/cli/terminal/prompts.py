"""How the prompts of a session look on the screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Check, Finding, Rulebook
from diag.rulebook.kinds import KINDS
from diag.session.next_prompt import proofs
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Closing,
    Prompt,
    ProposeRepair,
    Reread,
    RunAgain,
    StopWork,
)
from diag.session.result import shown
from diag.session.state import SessionState


def show_prompt(screen: Screen, state: SessionState, prompt: Prompt) -> None:
    """Put a prompt on the screen."""
    if isinstance(prompt, StopWork):
        _stop(screen, prompt)
    elif isinstance(prompt, AskTogether):
        _check(screen, state.rulebook, prompt.check, prompt.reason)
        screen.say(prompt.check.together, bold=True)
        for number, finding in enumerate(prompt.findings, 1):
            screen.item(str(number), finding.ask, width=2)
        screen.say("Type `none`, or the numbers of those that are so.")
    elif isinstance(prompt, AskFinding):
        if prompt.again:
            _again(screen, state, prompt.again)
        elif prompt.opening and prompt.check:
            _check(screen, state.rulebook, prompt.check, prompt.reason)
        elif state.in_proof:
            screen.say(f"Proof run: {prompt.reason}.")
        _question(screen, prompt.finding)
    elif isinstance(prompt, ProposeRepair):
        _repair(screen, state, prompt)
    elif isinstance(prompt, RunAgain):
        _run_again(screen, state, prompt)
    else:
        _closing(screen, state, prompt)


def _stop(screen: Screen, prompt: StopWork) -> None:
    danger = prompt.danger
    screen.heading(f"STOP: {danger.title}", alarm=True)
    for step in danger.do_now:
        screen.item("now", step, width=4)
    screen.say(f"Work may go on when: {danger.resume_when}")
    if danger.licensed:
        screen.say(danger.licensed)
    screen.say("Type `cleared` once that is so, or `leave` to save and stop.", bold=True)


def _check(screen: Screen, book: Rulebook, check: Check, reason: str) -> None:
    about = [f"{check.minutes:g} min", check.access]
    if check.tools:
        about.append(", ".join(check.tools))
    if check.needs:
        about.append("needs " + ", ".join(check.needs))
    screen.heading(f"{check.id} ({'; '.join(about)})")
    screen.say(check.do)
    show_cautions(screen, book.cautions, check.cautions)


def show_cautions(screen: Screen, cautions: Mapping[str, str], wanted: Iterable[str]) -> None:
    """Write the cautions of an act."""
    for name in wanted:
        screen.say(f"Caution: {cautions[name]}", indent=2)


def _again(screen: Screen, state: SessionState, again: Reread) -> None:
    """Say why a reading is asked again, and what that costs against going on without."""
    inconsistency, reading = again.inconsistency, state.readings[again.finding]
    lead = "These cannot all be true" if inconsistency.certain else "This one may be a slip"
    screen.heading(f"Take `{again.finding}` again (about {again.minutes:.0f} min)")
    screen.say(f"{lead}: {inconsistency.say}.")
    if inconsistency.certain:
        names = ", ".join(f"`{name}`" for name in inconsistency.readings)
        screen.say(f"In doubt: {names}. Going on with all of them would be guessing.")
    else:
        screen.say(
            f"Going on as it is, about {again.going_on:.0f} min to a proved repair; taking it "
            f"again first, about {again.after:.0f} min in all."
        )
    if again.check:
        screen.say(again.check.do)
        show_cautions(screen, state.rulebook.cautions, again.check.cautions)
    screen.say(f"It was {shown(reading.value)}. The same answer again is taken as meant.")


def _question(screen: Screen, finding: Finding) -> None:
    kind = KINDS[finding.kind]
    hint = kind.hint(finding)
    screen.say(finding.ask + (f" [{hint}]" if hint else ""), bold=True)
    if kind.is_listed:
        for number, (state, look) in enumerate(finding.choices.items(), 1):
            screen.item(f"{number} {state}", look, width=20)


def _repair(screen: Screen, state: SessionState, prompt: ProposeRepair) -> None:
    cause = prompt.cause
    said = "Found" if prompt.sure else "Likeliest, though not sure"
    trial = ", on trial" if cause.status == "trial" else ""
    screen.heading(f"{said}: {cause.title} ({prompt.probability:.0%}{trial})")
    if cause.no_fault:
        screen.say(SOUND)
    if cause.explain:
        screen.say(cause.explain)
    parts = f"; parts: {', '.join(cause.repair.parts)}" if cause.repair.parts else ""
    screen.say(f"What to do ({cause.repair.minutes:g} min, {cause.repair.access}{parts}):")
    for number, step in enumerate(cause.repair.do, 1):
        screen.item(str(number), step, width=2)
    show_cautions(screen, state.rulebook.cautions, cause.cautions)
    if cause.tell_owner:
        screen.say(f"Tell the owner: {cause.tell_owner}")
    if proofs(state, cause.id):
        screen.say("Afterwards a run proves it; its readings are asked then.")
    screen.say("Type `done` when it is made, `other` to look further.", bold=True)


def _run_again(screen: Screen, state: SessionState, prompt: RunAgain) -> None:
    screen.heading(f"Once more: {prompt.cause.title}")
    screen.say(
        "The proof failed, yet what was repaired may be all that was wrong "
        f"({prompt.probability:.0%}): a repair does not always take, and a run can fail by "
        "itself. Look over the work, then run it once more; that costs less than to look "
        "elsewhere."
    )
    show_cautions(screen, state.rulebook.cautions, prompt.cause.cautions)
    screen.say("Type `done` when it is running again, `other` to look further.", bold=True)


SOUND = "The unit itself is sound: how it is used, or what it stands in, explains this."
ENDINGS = {
    "repaired": "Proved: the repair holds.",
    "nothing-wrong": "Nothing is wrong with the unit, as far as these readings tell.",
    "unknown": "These readings fit nothing that the rules know well. Nothing should be changed "
    "on this evidence; look again at the readings, or hand it on with them.",
}


def _closing(screen: Screen, state: SessionState, prompt: Closing) -> None:
    screen.heading("The end of this session")
    screen.say(ENDINGS[prompt.verdict], bold=True)
    if prompt.cause is not None:
        screen.say(f"Cause: {prompt.cause.title}.")
        if prompt.cause.no_fault:
            screen.say(SOUND)
        if prompt.cause.tell_owner:
            screen.say(f"Tell the owner: {prompt.cause.tell_owner}")
    for text in state.notes:
        screen.say(f"Note: {text}")
