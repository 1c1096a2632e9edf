"""Where a session stands: the short list of suspects, and the whole in the order one needs."""

from __future__ import annotations

from diag.cli.account.line import LEAST_SAID, NOTHING, UNKNOWN, percent, so_far
from diag.cli.terminal.endings import show_repair
from diag.cli.terminal.screen import Screen
from diag.model.phrasing import capital
from diag.model.rulebook import Value
from diag.reason.belief.grades import in_words
from diag.reason.plan.choose import TimeAhead
from diag.session.account.reasons import SPEAKS_FROM, Reason, reasons
from diag.session.account.suspects import Suspects, suspects
from diag.session.inconsistent import Inconsistency, RuleFault, inconsistency_in, rule_faults
from diag.session.offer.choosing import time_from_here
from diag.session.result import shown, told_fact
from diag.session.state import SessionState

MOST_CAUSES = 5
MOST_REASONS, MOST_READINGS = 3, 3


def show_suspects(screen: Screen, state: SessionState, most_reasons: int = 1) -> None:
    """Show the likeliest causes, each with what tells it from all others, in words."""
    screen.heading("Suspects")
    found, said = suspects(state), set[str]()
    for one in found.leading[:MOST_CAUSES]:
        title = state.rulebook.causes[one.cause].title
        bar = f"{'#' * round(20 * one.share):20} " if screen.draws and screen.width >= 70 else ""
        named = title if title.lower() == one.cause else f"{one.cause}: {title}"
        screen.item(f"{percent(one.share):>5}", f"{bar}{named}", width=5)
        for reason in _reasons(state, one.cause, most_reasons):
            screen.say(told_reason(reason, reason.sign not in said), indent=8)
            said.add(reason.sign)
    _rest(screen, found)
    if spent := so_far(found.spent):
        screen.say(f"So far: {spent}.")
    if not (state.in_proof or state.dangers.held):
        screen.say(told_time(time_from_here(state)))


def _reasons(state: SessionState, cause: str, most: int) -> list[Reason]:
    """Return the weightiest reasons; a lone one is what speaks for it, where anything does."""
    known = reasons(state, cause)
    both = sorted((*known.speaks_for, *known.against), key=lambda one: -abs(one.decibans))
    telling = [one for one in both if abs(one.decibans) >= SPEAKS_FROM]
    return list(known.speaks_for or telling)[:1] if most == 1 else telling[:most]


def _rest(screen: Screen, found: Suspects) -> None:
    """Show what is no cause, or not listed, and why the shares may add up to more than all."""
    others = found.others + sum(one.share for one in found.leading[MOST_CAUSES:])
    for share, what in (
        (others, "all other causes"), (found.nothing, NOTHING), (found.unknown, UNKNOWN),
    ):  # fmt: skip
        screen.item(f"{percent(share):>5}", what, width=5)
    if found.twice >= LEAST_SAID:
        screen.say(
            f"Two faults at once count under both, so these add up to {1 + found.twice:.0%}."
        )


def told_reason(one: Reason, with_readings: bool = True) -> str:
    """Write a reason in words, with the readings that it rests on."""
    rests_on = ", ".join(f"{name}: {shown(value)}" for name, value in told_readings(one))
    behind = f" ({rests_on})" if rests_on and with_readings else ""
    return f"{in_words(one.decibans)} `{one.sign}: {one.state}`{behind}"


def told_readings(one: Reason) -> tuple[tuple[str, Value], ...]:
    """Return the readings that are named with a reason: not too many, numbers first."""
    return tuple(sorted(one.rests_on, key=lambda each: isinstance(each[1], str))[:MOST_READINGS])


def told_time(ahead: TimeAhead) -> str:
    """Write the time that is expected from here on."""
    waiting = f" and {ahead.waiting:.0f} min of waiting" if ahead.waiting >= 1 else ""
    parts = "; parts come on top" if ahead.parts >= 1 else ""
    return f"About {ahead.work:.0f} min of work{waiting} from here to a proved repair{parts}."


def show_page(screen: Screen, state: SessionState, number: str) -> None:
    """Show one page of `show_where`; `ValueError` for one that there is not."""
    screen.page(number, "where", lambda: show_where(screen, state))


def show_where(screen: Screen, state: SessionState) -> None:
    """Show dangers, suspects with what tells for each, readings, and what was skipped."""
    show_dangers(screen, state)
    show_suspects(screen, state, MOST_REASONS)
    for fault in rule_faults(state):
        show_rule_fault(screen, fault)
    inconsistency = inconsistency_in(state)
    if inconsistency:
        show_inconsistency(screen, inconsistency)
    show_readings(screen, state)
    show_repairs(screen, state)
    facts = [told_fact(state, fact) for fact in state.chain.facts if fact.kind == "sign"]
    if facts:
        screen.say("So: " + "; ".join(facts) + ".")
    if state.passed:
        screen.heading("Skipped")
        screen.table((name, why) for name, why in state.passed.items())


def show_dangers(screen: Screen, state: SessionState) -> None:
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


def show_repairs(screen: Screen, state: SessionState) -> None:
    """List the repairs made so far and how each came out, if there are any."""
    under_way = [state.proving.result] if state.in_proof else []
    if made := [*state.results, *under_way]:
        screen.heading("Repairs so far")
        for result in made:
            show_repair(screen, state.rulebook, result)


def show_inconsistency(screen: Screen, inconsistency: Inconsistency) -> None:
    """Name the readings that do not fit the others."""
    names = ", ".join(f"`{name}`" for name in inconsistency.readings)
    lead = "These cannot all be true: " if inconsistency.certain else ""
    screen.say(capital(f"{lead}{inconsistency.say}; take {names} again."))


def show_rule_fault(screen: Screen, fault: RuleFault) -> None:
    """Tell of rules that contradict each other, where they stand, and what becomes of them."""
    screen.say(
        f"The rules contradict each other about `{fault.sign}`. That is a fault of the rulebook, "
        "not of your readings; the session goes on with neither.",
        bold=True,
    )
    for rule in fault.rules:
        screen.say(f"`{rule.id}` says {rule.then}, in {rule.place}", indent=2)
