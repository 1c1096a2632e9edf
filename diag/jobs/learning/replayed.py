"""A stored journal gone through again, with what was believed just before each repair."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.frozen import frozen
from diag.model.rulebook import Rulebook
from diag.reason.belief.belief import Evidence
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.effective import effective
from diag.session.journal.events import Repaired, journal_of
from diag.session.state import SessionState
from diag.store.sessions import StoredEvent


@frozen
class DoneRepair:
    """A repair that counts: when, in UTC, and how likely its cause was held to be, from 0 to 1."""

    cause: str
    at: str
    share: float


@frozen
class Replayed:
    """A session as it stands at the end of its journal."""

    state: SessionState
    repairs: tuple[DoneRepair, ...]
    first_signs: frozenset[Evidence]
    """What counted as evidence before the first repair."""


def replayed(
    rulebook: Rulebook,
    unit: str,
    complaint: str,
    stored: Sequence[StoredEvent],
    compiled: CompiledRulebook | None = None,
) -> Replayed:
    """Go through a stored journal; `KeyError` for a unit that the rules do not know.

    What was taken back or corrected is as if it had been said right at once.
    """
    state = SessionState(rulebook, rulebook.units[unit], complaint, compiled)
    journal = journal_of(stored)
    first = min((one.number for one in stored), default=1)
    times = {one.number: one.at for one in stored}
    repairs: list[DoneRepair] = []
    signs: frozenset[Evidence] = frozenset()
    for number, event in effective(journal):
        known = isinstance(event, Repaired) and event.cause in rulebook.causes
        if known and isinstance(event, Repaired):
            if not repairs:
                signs = frozenset(state.evidence())
            share = state.posterior.causes[event.cause]
            at = times.get(number + 1, times.get(first, ""))
            repairs.append(DoneRepair(event.cause, at, share))
        state.apply(event)
    return Replayed(state, tuple(repairs), signs)
