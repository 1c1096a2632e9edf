"""How the end of a session looks on the screen: no more than was read, and what was not."""

from __future__ import annotations

from collections.abc import Iterable

from diag.cli.account.line import percent
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.session.dangers.work import not_read_for
from diag.session.proof.ending import Ending
from diag.session.proof.run import RepairResult
from diag.session.result import shown
from diag.session.state import SessionState

HEADLINES = {
    "proved": "Proved: the repair holds, and the complaint is gone.",
    "not proved": "Not proved: not all of the proof could be read.",
    "nothing wrong": "Nothing is wrong, as far as these readings show.",
    "not found out": "Not found out: the readings show neither a fault nor that nothing is wrong.",
    "not in the rulebook": "No known fault fits these readings. Change no parts. Check the "
    "readings again, or pass the case and its readings to a specialist.",
    "handed over": "Handed over: a danger holds, and nothing that is allowed is left to do.",
    "goes on elsewhere": "This is as far as it goes from here; it goes on where more is at hand.",
}
MOST_NAMED = 8
SOUND = (
    "No fault is behind this: how the unit is used, or what it stands in, explains it. Nothing but "
    "the complaint was judged."
)


def show_ending(screen: Screen, state: SessionState, ending: Ending) -> None:
    """Write how a session ends: the verdict, every repair, what was not read, dangers, remarks."""
    book = state.rulebook
    screen.heading("The end of this session")
    screen.say(HEADLINES[ending.kind], bold=True)
    for result in ending.results:
        show_repair(screen, book, result)
    told = {name for one in ending.results for name in _unread(one)}
    unread = [name for name in ending.not_read if name not in told]
    if ending.kind != "proved" and unread:
        screen.say(f"Nobody read: {named_few(unread)}.")
    if ending.also_seen and ending.kind in ("proved", "nothing wrong"):
        screen.say(f"Also seen, and not explained by this: {_seen(state, ending.also_seen)}.")
    if ending.would_decide:
        screen.say(f"What would tell more: {named_few(ending.would_decide)}.")
    if ending.bring is not None:
        _bring(screen, book, ending)
    _dangers(screen, state, ending)
    left = sorted(book.asked_first & state.passed.keys())
    if left:
        screen.say(f"Questions of danger that nobody could answer: {named_few(left)}.", bold=True)
    for slip in ending.slips:
        now = "taken back" if slip.now is None else f"corrected to {shown(slip.now)}"
        was = "" if slip.was is None else f", {shown(slip.was)},"
        screen.say(f"A slip: `{slip.finding}`{was} was {now}, and with it a danger.")
    for text in state.notes:
        screen.say(f"Note: {text}")
    if ending.is_open:
        screen.say(
            "`change FINDING = ANSWER` adds a reading, `undo` takes the last act back, "
            "`leave` saves it as it is.",
            bold=True,
        )


def _bring(screen: Screen, book: Rulebook, ending: Ending) -> None:
    """Write what whoever goes on needs to know; away from the unit all of it."""
    bring = ending.bring
    assert bring is not None
    if bring.causes and (ending.kind in ("goes on elsewhere", "handed over") or ending.results):
        screen.say("Likeliest:")
        for name, share in bring.causes:
            screen.item(f"{percent(share):>5}", book.causes[name].title, width=5)
    if ending.kind == "goes on elsewhere":
        first = bring.first
        likeliest = book.causes[bring.causes[0][0]] if bring.causes else None
        if first:
            screen.say(f"Do first: {first}. {book.checks[first].do}", bold=True)
        elif likeliest is not None:
            screen.say(f"Do first: {' '.join(likeliest.repair.do)}", bold=True)
        if bring.parts:
            screen.say(f"Parts to bring: {', '.join(bring.parts)}.")
    if bring.wanted:
        screen.say(f"Wanted for that, and not here: {', '.join(bring.wanted)}.")
    if ending.kind == "goes on elsewhere":
        screen.say("There, go on with it: type `here` and who works there, as `tools` lists them.")


def show_repair(screen: Screen, book: Rulebook, result: RepairResult) -> None:
    """Write how a repair came out, what nobody read of its proof, and what to tell the owner."""
    cause = book.causes[result.cause]
    screen.item("repair", f"{cause.title}: {_came_out(result)}.", width=7)
    if unread := _unread(result):
        screen.say(f"Not read: {named_few(unread)}.", indent=10)
    if cause.no_fault and (result.proved or result.holds):
        screen.say(SOUND, indent=10)
    if cause.tell_owner and (result.proved or result.holds):
        screen.say(f"Tell the owner: {cause.tell_owner}", indent=10)


def _seen(state: SessionState, names: tuple[str, ...]) -> str:
    """Write readings in a row as they stand: the first few, and how many more there are."""
    held = [f"`{name}` {shown(state.readings[name].value)}" for name in names]
    more = f" and {len(held) - MOST_NAMED} more" if len(held) > MOST_NAMED else ""
    return ", ".join(held[:MOST_NAMED]) + more


def _unread(result: RepairResult) -> tuple[str, ...]:
    return () if result.own == "failed" else tuple(result.unread)


def _came_out(result: RepairResult) -> str:
    if result.proved:
        return "made, holds, and cured it" + (" by the lesser proof" if result.lesser else "")
    if result.own == "failed":
        return "made, but its own check fails"
    if result.holds:
        gone_on = "the complaint went on" if result.complaint == "failed" else "no more was read"
        return f"made and holds; {gone_on}"
    return "made; " + ("the complaint went on" if result.complaint == "failed" else "not proved")


def _dangers(screen: Screen, state: SessionState, ending: Ending) -> None:
    book = state.rulebook
    for name in ending.holding:
        danger = book.dangers[name]
        acts = "; ".join(danger.forbids)
        screen.say(f"DANGER holds: {danger.title}. Not to be done: {acts}.", bold=True)
        screen.say(f"Work may go on when: {danger.resume_when}", indent=2)
        if unread := not_read_for(state, name):
            screen.say(f"Not read for that: {named_few(unread)}.", indent=2)
        if danger.licensed:
            screen.say(danger.licensed, indent=2)
    over = dict.fromkeys(one for one in ending.passages if one.what == "released")
    for one in over:
        if one.danger not in ending.holding:
            title = book.dangers[one.danger].title
            screen.say(f"Danger released by a reading of `{one.by}`: {title}.")


def named_few(names: Iterable[str]) -> str:
    """Return names in a row: the first few, and how many more there are."""
    held = list(names)
    more = f" and {len(held) - MOST_NAMED} more" if len(held) > MOST_NAMED else ""
    return ", ".join(f"`{name}`" for name in held[:MOST_NAMED]) + more
