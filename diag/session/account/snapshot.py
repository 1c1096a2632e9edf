"""How a session stood at one moment, so that what an answer changed can be told afterwards."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen
from diag.model.quantity import Quantity
from diag.model.reading import Reading
from diag.model.rulebook import Fact
from diag.session.state import SessionState


@frozen
class Snapshot:
    """What was read, what followed from it, and the share of each cause.

    Figures are those of this stage: one of readings before and after a repair is none.
    """

    readings: Mapping[str, Reading]
    figures: Mapping[str, Quantity]
    facts: frozenset[Fact]
    said: frozenset[tuple[str, str]]
    """Sign and state of all that counts as evidence."""
    shares: Mapping[str, float]
    nothing: float = 0.0
    """Share of nothing wrong."""
    unknown: float = 0.0
    """Share of what is not in the rules."""


def snapshot(state: SessionState) -> Snapshot:
    """Return how a session stands now."""
    known = ((name, state.now.value(name)) for name in state.rulebook.figures)
    return Snapshot(
        dict(state.readings),
        {name: value for name, value in known if isinstance(value, Quantity)},
        frozenset(state.chain.facts),
        frozenset((one.evidence.sign, one.evidence.state) for one in state.belief.used.values()),
        state.posterior.causes,
        state.posterior.nothing,
        state.posterior.unknown,
    )
