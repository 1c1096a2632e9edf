"""What is left for a visit: what is likeliest, what to bring, and what to do first."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.frozen import frozen
from diag.session.candidates import check_of
from diag.session.offer.reach import waiting_for
from diag.session.state import SessionState

MOST_CAUSES = 3
LEAST_SHARE = 0.05
"""Share below which no part is brought for a cause that does not lead."""


@frozen
class Bring:
    """What is told to whoever goes on."""

    causes: tuple[tuple[str, float], ...] = ()
    """The likeliest, at most three, with their shares."""
    wanted: tuple[str, ...] = ()
    """Tools and places that the next checks want and that are not here."""
    parts: tuple[str, ...] = ()
    """Parts that the repairs of the likeliest causes take."""
    first: str = ""
    """The check to be made first; empty where the repair is."""


def bring(state: SessionState, checks: Sequence[str]) -> Bring:
    """Return what is wanted where the work goes on, with the `checks` to be made there."""
    book = state.rulebook
    causes = tuple(one for one in state.posterior.ranking[:MOST_CAUSES] if one[1] > 0)
    leading = [name for name, share in causes if share >= LEAST_SHARE or name == causes[0][0]]
    parts = dict.fromkeys(part for name in leading for part in book.causes[name].repair.parts)
    first = checks[0] if checks else ""
    wanted = waiting_for(book, checks, state.reach)
    if not checks and causes and not state.reach.here.by_word:
        wanted = state.reach.lacked(book.causes[causes[0][0]].repair)
    return Bring(causes, wanted, tuple(parts), first)


def for_the_proof(state: SessionState) -> Bring:
    """Return what is wanted to read what nobody could read of a proof."""
    checks = [check_of(state, name) for name in state.proving.result.unread]
    ids = [one.id for one in checks if one is not None]
    return Bring(wanted=waiting_for(state.rulebook, ids, state.reach))
