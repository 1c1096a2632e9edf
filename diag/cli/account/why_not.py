"""`why-not CAUSE`: a cause weighed against the likeliest one, whatever name it is called by."""

from __future__ import annotations

from diag.cli.account.line import percent
from diag.cli.terminal.screen import Screen
from diag.model.quantity import plain_number
from diag.model.rulebook import Fact
from diag.reason.belief.grades import in_words
from diag.reason.belief.weigh import weigh, weigh_against
from diag.reason.plan.verdict import leading
from diag.session.account.reasons import reasons
from diag.session.state import SessionState

MOST_WEIGHTS = 8
LEAST_WEIGHT = 0.05
"""Decibans from which a weight is written: less is written as nought."""


def show_why_not(screen: Screen, state: SessionState, wanted: str) -> None:
    """Weigh a cause against the likeliest one; of several that may be meant, name them."""
    if not wanted:
        screen.say("Name the cause behind it, as `why-not` and any of its words.")
        return
    from diag.session.account.named import meant_causes, nearest_causes  # listens by many words

    found = meant_causes(state.rulebook, wanted)
    if len(found) == 1:
        _weighed(screen, state, found[0])
        return
    lead = "Which of these" if found else f"There is no cause `{wanted[:40]}`; near it"
    names = found or nearest_causes(state.rulebook, wanted)
    if not names:
        screen.say(f"There is no cause `{wanted[:40]}`; `suspects` shows the likeliest.")
        return
    screen.say(f"{lead}:")
    screen.table((f"why-not {name}", state.rulebook.causes[name].title) for name in names)


def _weighed(screen: Screen, state: SessionState, found: str) -> None:
    title = state.rulebook.causes[found].title
    if found in state.belief.excluded:
        screen.say(f"{title}: ruled out{_by(state, found)}.")
        return
    screen.say(f"{title}: {percent(state.posterior.causes[found])}.")
    first = leading(state.posterior, state.declined)[0]
    causes = state.rulebook.causes
    if first in causes and first != found:
        screen.say(f"Against it, compared with: {causes[first].title}")
        weights = weigh_against(state.belief, first, found)
        weights = tuple(one._replace(decibans=-one.decibans) for one in weights)
    else:
        weights = weigh(state.belief, found)
    screen.table(
        (in_words(one.decibans), f"{one.label} ({_points(one.decibans)} points)")
        for one in weights[:MOST_WEIGHTS]
        if abs(one.decibans) >= LEAST_WEIGHT
    )
    for rival in reasons(state, found).rivals:
        if rival.told_by:
            screen.say(f"`{rival.told_by}` tells it from: {causes[rival.cause].title}.")


def _points(decibans: float) -> str:
    return plain_number(round(decibans, 1))


def _by(state: SessionState, cause: str) -> str:
    """Say which rule rules a cause out."""
    supports = state.chain.supports(Fact("excluded", cause, "ruled out"))
    why = next((one.rule.why for one in supports if one.rule.why), "")
    names = dict.fromkeys(name for one in supports for name in one.used)
    named = ", ".join(f"`{name}`" for name in names)
    return (f" by {named}" if named else "") + (f": {why}" if why else "")
