"""Who is suspected: the likeliest causes, what an answer did to them, and what fell out by it."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.model.rulebook import Fact
from diag.session.account.reasons import telling
from diag.session.account.snapshot import Snapshot
from diag.session.account.spent import Spent, spent
from diag.session.state import SessionState

SUSPECT_FROM = 0.005
"""Share from which a cause counts as a suspect: what is written as 1 % or more."""
FELL_FROM = 0.025
"""Share that a cause must have had for it to be told that it fell out: a point or two come and go
with the pairs that are weighed, and no answer did that."""


@frozen
class Suspected:
    """A cause, how likely it is, alone or beside others, and by how much that has grown."""

    cause: str
    share: float
    change: float = 0.0


@frozen
class FellOut:
    """A cause that is suspected no more, how likely it was, and the signs that speak against it."""

    cause: str
    was: float
    by: tuple[str, ...] = ()


@frozen
class Suspects:
    """All that is suspected, in shares from 0 to 1, the likeliest first.

    `leading`, `others`, `nothing` and `unknown` add up to 1 and `twice`: two causes at once count
    under both.
    """

    leading: tuple[Suspected, ...]
    others: float
    """Of all causes below `SUSPECT_FROM`."""
    nothing: float
    unknown: float
    twice: float
    fell_out: tuple[FellOut, ...]
    spent: Spent
    nothing_change: float = 0.0
    """By how much nothing wrong has grown."""
    unknown_change: float = 0.0


def suspects(state: SessionState, before: Snapshot | None = None) -> Suspects:
    """Return who is suspected now, and what has changed since a moment `before`."""
    posterior = state.posterior
    had = before.shares if before else posterior.causes
    leading = tuple(
        Suspected(name, share, share - had.get(name, 0.0))
        for name, share in posterior.ranking
        if share >= SUSPECT_FROM
    )
    others = sum(share for _, share in posterior.ranking[len(leading) :])
    said = sum(one.share for one in leading) + others + posterior.nothing + posterior.unknown
    gone = sorted((-had.get(name, 0.0), name) for name, _ in posterior.ranking[len(leading) :])
    fell_out = tuple(
        FellOut(name, -was, _against(state, name, before))
        for was, name in gone
        if -was >= FELL_FROM and before
    )
    grown = (
        (posterior.nothing - before.nothing, posterior.unknown - before.unknown)
        if before
        else (0.0, 0.0)
    )
    known = (posterior.nothing, posterior.unknown)
    return Suspects(leading, others, *known, said - 1.0, fell_out, spent(state), *grown)


def _against(state: SessionState, cause: str, before: Snapshot | None) -> tuple[str, ...]:
    """Return what took a cause out: the names of a rule that bars it, else the newest sign against.

    Against all that it competes with: what shows others only may take it out as well.
    """
    if cause in state.belief.excluded:
        barred = state.chain.supports(Fact("excluded", cause, "ruled out"))
        return tuple(dict.fromkeys(name for one in barred for name in one.used))[:1]
    known = before.said if before else frozenset()
    new = (one for one in telling(state, cause) if (one.name, one.state) not in known)
    return next(((one.name,) for one in new if one.decibans < 0), ())
