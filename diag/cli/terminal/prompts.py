"""How the prompts of a session look on the screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from diag.cli.account.line import percent
from diag.cli.account.verdict import show_reasons
from diag.cli.terminal.endings import SOUND, show_ending
from diag.cli.terminal.screen import ALARM_MARK, Screen
from diag.model.phrasing import capital, in_a_row, small
from diag.model.rulebook import Check, Danger, Finding, Rulebook
from diag.reason.plan.costs import as_one, runs_made
from diag.rulebook.kinds import KINDS, marks
from diag.session.prompt import (
    AskFinding,
    AskTogether,
    Prompt,
    ProposeRepair,
    Reread,
    RunAgain,
    StopWork,
)
from diag.session.proof.good import with_class_value
from diag.session.proof.reading import BAD_BEFORE
from diag.session.proof.wanted import wanted_by
from diag.session.result import shown
from diag.session.state import SessionState

LEAST_SAVED = 1.0
"""Minutes from which it is told what taking a reading again saves."""


def show_prompt(
    screen: Screen, state: SessionState, prompt: Prompt, seen: set[str] | None = None
) -> None:
    """Put a prompt on the screen; `seen` holds the cautions that were shown in full before."""
    seen = set() if seen is None else seen
    if isinstance(prompt, StopWork):
        show_stop(screen, prompt.danger)
    elif isinstance(prompt, AskTogether):
        _check(screen, state, prompt.check, seen)
        screen.say(prompt.check.together, bold=True)
        for number, finding in enumerate(prompt.findings, 1):
            screen.item(str(number), finding.ask, width=2)
        screen.say("Type `none`, or those that are true: `1 3`, `1-3`, or by name.")
    elif isinstance(prompt, AskFinding):
        if prompt.again:
            _again(screen, state, prompt.again, seen)
        elif len(prompt.members) > 1:
            _round(screen, state, prompt.members, seen)
            _stock(screen, state, prompt.members[0])
        elif prompt.opening and prompt.check:
            _check(screen, state, prompt.check, seen)
            _stock(screen, state, prompt.check)
        if prompt.proves is not None:
            _wanted(screen, state, prompt)
        elif prompt.reason == BAD_BEFORE:
            screen.say("Test run after the repair: before it, what this tells of was not good.")
        elif prompt.check is None and not prompt.again:
            screen.say(f"{capital(prompt.reason)}.")
        _question(screen, prompt.finding)
    elif isinstance(prompt, ProposeRepair):
        _repair(screen, state, prompt, seen)
    elif isinstance(prompt, RunAgain):
        _run_again(screen, state, prompt, seen)
    else:
        show_ending(screen, state, prompt.ending)


def show_do_now(screen: Screen, danger: Danger, word: str = "STOP") -> None:
    """Say what a danger asks for at once, below a heading that begins with a word."""
    screen.heading(f"{word}: {danger.title}", alarm=True)
    for step in danger.do_now:
        screen.item(ALARM_MARK, step, width=len(ALARM_MARK))


def show_danger(screen: Screen, danger: Danger, word: str = "STOP") -> None:
    """Say what to do now, what nobody does, and what releases it."""
    show_do_now(screen, danger, word)
    screen.say(f"Forbidden until it is released: {'; '.join(danger.forbids)}.")
    screen.say(f"Work may go on when: {danger.resume_when}")
    if danger.licensed:
        screen.say(danger.licensed)


def show_stop(screen: Screen, danger: Danger) -> None:
    """Say that work stops, and how it goes on."""
    show_danger(screen, danger)
    screen.say(
        f"{ALARM_MARK} STOP. Type `done` once that is done: readings that may release it are asked "
        "for then. `leave` saves and stops.",
        bold=True,
    )


def _wanted(screen: Screen, state: SessionState, prompt: AskFinding) -> None:
    """Say what a reading must show, and that it does not where it is read once more."""
    head = "Test run after the repair" if state.in_proof else "To be sure"
    if prompt.finding.id in state.passed or not state.in_proof:
        head = capital(prompt.reason)
    wanted = wanted_by(state, prompt)
    if wanted is not None:
        head += f". Wanted: {with_class_value(wanted)}"
    screen.say(head + ".")
    if prompt.fails:
        reading = state.readings[prompt.finding.id]
        missed = wanted.missed_by(reading.value) if wanted else ""
        was = f"{shown(reading.value)}, {missed}" if missed else shown(reading.value)
        screen.say(f"It was {was}; read it once more before that counts.")


def _round(screen: Screen, state: SessionState, members: Sequence[Check], seen: set[str]) -> None:
    """Write what is read together in one run: what it takes, and what to do for each check."""
    whole = as_one(state.rulebook, members)
    told = where_and_with(state.rulebook, whole, _at_hand(state, whole))
    screen.heading(f"{whole.run}, all of this in one ({told})")
    for check in members:
        screen.item("-", check.do, width=1)
    screen.say("Any reading may be passed over.")
    show_cautions(screen, state.rulebook.cautions, whole.cautions, seen)


def _at_hand(state: SessionState, check: Check) -> tuple[str, ...]:
    """Return the tools of a check that are here: what needs the others is not asked."""
    return tuple(tool for tool in check.tools if tool in state.reach.here.tools)


def _stock(screen: Screen, state: SessionState, check: Check) -> None:
    """Say how many of a run were made, where the unit allows so many only, and what that asks."""
    book = state.rulebook
    for name in dict.fromkeys(filter(None, (check.run, *check.uses))):
        made, run = runs_made(book, state.begun)[name], book.runs[name]
        stock = state.unit.data.get(run.at_most)
        if made and stock is not None:
            said = f"`{name}` made so far: {made}; {run.at_most}: {shown(stock)}"
            last = "; this would be the last" if made + 1 == stock.si else ""
            screen.say(f"{said}{last}.")
            if made >= stock.si and run.used_up:
                screen.say(run.used_up)


def _check(screen: Screen, state: SessionState, check: Check, seen: set[str]) -> None:
    book = state.rulebook
    screen.heading(f"{check.id} ({where_and_with(book, check, _at_hand(state, check))})")
    screen.say(check.do)
    show_cautions(screen, book.cautions, check.cautions, seen)


def where_and_with(book: Rulebook, check: Check, tools: Sequence[str] | None = None) -> str:
    """Return where one stands for a check, with what, and for how long by hand and waiting."""
    with_ = check.tools if tools is None else tools
    about = [_where(book, check), *([", ".join(with_)] if with_ else [])]
    if check.needs:
        about.append("needs " + ", ".join(check.needs))
    return "; ".join([*about, _time(check.minutes, check.waits)])


def _where(book: Rulebook, check: Check) -> str:
    """Return where one stands; what is only told, the owner is asked, from wherever that is."""
    if check.access != "ask":
        return check.access
    told = all(book.findings[name].how == "told" for name in check.yields)
    return "ask the owner" if told else "look, or ask the owner"


def _time(minutes: float, waits: float) -> str:
    """Return minutes of work and of waiting, as they are told."""
    wait = f"{waits:g} min" if waits < 120 else f"{waits / 60:g} h"
    return f"{minutes:g} min" + (f" and {wait} of waiting" if waits else "")


def show_cautions(
    screen: Screen, cautions: Mapping[str, str], wanted: Iterable[str], seen: set[str] | None = None
) -> None:
    """Write the cautions of an act: in full the first time, in a word where they were `seen`."""
    seen = set() if seen is None else seen
    wanted = tuple(wanted)
    for name in wanted:
        if name not in seen:
            screen.say(f"Caution: {cautions[name]}", indent=2)
    again = [name for name in wanted if name in seen]
    if again:
        screen.say(f"Cautions as before: {', '.join(again)}.", indent=2)
    seen.update(wanted)


def _again(screen: Screen, state: SessionState, again: Reread, seen: set[str]) -> None:
    """Say why a reading is asked again, and what that costs against going on without."""
    inconsistency, reading = again.inconsistency, state.readings[again.finding]
    lead = "These cannot all be true" if inconsistency.certain else "This one may be a slip"
    screen.heading(f"Take `{again.finding}` again (about {again.minutes:.0f} min)")
    screen.say(f"{lead}: {inconsistency.say}.")
    if inconsistency.certain:
        names = ", ".join(f"`{name}`" for name in inconsistency.readings)
        screen.say(f"In doubt: {names}. Going on with all of them would be guessing.")
    else:
        saved = again.going_on - again.after
        if saved >= LEAST_SAVED:
            screen.say(f"To take it again saves some {saved:.0f} min in the end, on average.")
    if again.check:
        screen.say(again.check.do)
        show_cautions(screen, state.rulebook.cautions, again.check.cautions, seen)
    screen.say(f"It was {shown(reading.value)}. The same answer again is taken as meant.")


def _question(screen: Screen, finding: Finding) -> None:
    kind = KINDS[finding.kind]
    hint = kind.hint(finding)
    screen.say(finding.ask + (f" [{hint}]" if hint else ""), bold=True)
    if kind.is_listed:
        for mark, state in marks(finding).items():
            screen.item(f"{mark} {state}", finding.choices[state], width=20)


def _repair(screen: Screen, state: SessionState, prompt: ProposeRepair, seen: set[str]) -> None:
    cause = prompt.cause
    said = "Found" if prompt.sure else "Likeliest, though not sure"
    trial = ", on trial" if cause.status == "trial" else ""
    screen.heading(f"{said}: {cause.title} ({percent(prompt.probability)}{trial})")
    if cause.no_fault:
        screen.say(SOUND if prompt.sure else f"If so, {small(SOUND)}")
    if cause.explain:
        screen.say(cause.explain)
    show_reasons(screen, state, cause.id)
    parts = f"; parts: {', '.join(cause.repair.parts)}" if cause.repair.parts else ""
    time = _time(cause.repair.minutes, cause.repair.waits)
    screen.say(f"What to do ({time}, {cause.repair.access}{parts}):")
    for number, step in enumerate(cause.repair.do, 1):
        screen.item(str(number), step, width=2)
    show_cautions(screen, state.rulebook.cautions, cause.cautions, seen)
    if cause.repair.licensed:
        screen.say(cause.repair.licensed)
    screen.say(_after_the_repair(state))
    screen.say(
        "Type `done` when the repair is finished, `other` to look for another cause.", bold=True
    )


def _after_the_repair(state: SessionState) -> str:
    """Say what comes once a repair is made: no test run while a danger holds."""
    titles = [small(state.rulebook.dangers[name].title) for name in state.dangers.held]
    if not titles:
        return "Then run the heater; you are asked for the readings that prove the repair."
    return (
        f"Do not run the heater yet: {in_a_row(titles)} is not released. You are asked for the "
        "readings that prove the repair, those that may release it among them."
    )


def _run_again(screen: Screen, state: SessionState, prompt: RunAgain, seen: set[str]) -> None:
    screen.heading(f"Once more: {prompt.cause.title}")
    screen.say(
        "The proof failed, yet what was repaired may be all that was wrong "
        f"({prompt.probability:.0%}): a repair does not always take, and a run can fail by "
        "itself. Look over the work, then run it once more; that costs less than to look "
        "elsewhere."
    )
    show_cautions(screen, state.rulebook.cautions, prompt.cause.cautions, seen)
    screen.say(
        "Type `done` when it is running again, `other` to look for another cause.", bold=True
    )
