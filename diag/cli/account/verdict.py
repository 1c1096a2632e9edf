"""Why a repair is put forward: the strongest reasons, what speaks against, what else it may be."""

from __future__ import annotations

from diag.cli.account.line import percent
from diag.cli.account.where import told_reason
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.session.account.reasons import SPEAKS_FROM, Rival, reasons
from diag.session.state import SessionState

MOST_FOR, MOST_AGAINST = 3, 2


def show_reasons(screen: Screen, state: SessionState, cause: str) -> None:
    """Write why a cause is put forward; the whole derivation is what `why` shows."""
    known = reasons(state, cause)
    strong = [one for one in known.speaks_for if one.decibans >= SPEAKS_FROM]
    because = strong[:MOST_FOR] or known.speaks_for[:1]
    if because:
        screen.say("Because, of all that it could be:")
    for one in because:
        screen.outline(f"  - {told_reason(one)}")
    if known.against:
        screen.say("Yet:")
    for one in known.against[:MOST_AGAINST]:
        screen.outline(f"  - {told_reason(one)}")
    if known.rivals:
        named = "; ".join(_named(state.rulebook, one) for one in known.rivals)
        screen.say(f"It could also be: {named}.")
    if known.speaks_for:
        screen.say(f"`why {cause}` shows how that follows.")


def _named(book: Rulebook, one: Rival) -> str:
    telling = f", told by `{one.told_by}`" if one.told_by else ""
    return f"{book.causes[one.cause].title} ({percent(one.share)}{telling})"
