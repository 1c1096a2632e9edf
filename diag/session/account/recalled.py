"""What the record did to the order of the suspects, and why."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.session.state import SessionState
from diag.session.weighed import without_record

LEADING = 5
"""Places from which, or to which, a move is told."""


@frozen
class Moved:
    """A cause that the record moved: its places from 1, and how likely it was and is."""

    cause: str
    was: int
    now: int
    share_was: float
    share: float


def moved_by_record(state: SessionState) -> tuple[Moved, ...]:
    """Return the leading causes that the record moved, the greatest change of a share first.

    One that rose became likelier, one that fell less likely: what merely made room is not told.
    """
    if not state.start.links.shifts:
        return ()
    bare, here = without_record(state), state.posterior
    was = {name: place for place, (name, _) in enumerate(bare.ranking, 1)}
    found = [
        Moved(name, was[name], place, bare.causes[name], share)
        for place, (name, share) in enumerate(here.ranking, 1)
        if min(place, was[name]) <= LEADING
    ]
    moved = (one for one in found if (one.was - one.now) * (one.share - one.share_was) > 0)
    return tuple(sorted(moved, key=lambda one: (-abs(one.share - one.share_was), one.now)))
