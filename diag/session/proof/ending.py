"""How a session ends, in no more than was read."""

from __future__ import annotations

from typing import Literal as OneOf

from diag.model.frozen import frozen
from diag.session.dangers.watch import Passage
from diag.session.journal.effective import TakenBack, slips
from diag.session.offer.elsewhere import Bring
from diag.session.proof.beside import also_seen
from diag.session.proof.run import RepairResult
from diag.session.state import SessionState

EndingKind = OneOf[
    "proved", "not proved", "nothing wrong", "not found out", "not in the rulebook", "handed over",
    "goes on elsewhere",
]  # fmt: skip


@frozen
class Ending:
    """What is known at the end, what was done, and what nobody looked at."""

    kind: EndingKind
    results: tuple[RepairResult, ...]
    """Every repair made, with what its proof showed."""
    not_read: tuple[str, ...]
    """Findings that were asked for and that nobody could read."""
    would_decide: tuple[str, ...] = ()
    """Checks that would tell more, the best first."""
    holding: tuple[str, ...] = ()
    """Dangers that hold still."""
    passages: tuple[Passage, ...] = ()
    """How dangers came up and were released, in order."""
    slips: tuple[TakenBack, ...] = ()
    """Answers that raised a danger and were taken back as slips."""
    also_seen: tuple[str, ...] = ()
    """Findings that stand bad, with no repair made that explains them."""
    bring: Bring | None = None
    """What is likeliest, and what is wanted where the work goes on."""

    @property
    def is_open(self) -> bool:
        """Tell whether a later reading may still change how it ends."""
        return self.kind in ("handed over", "not proved", "not found out", "goes on elsewhere")


def ending(
    state: SessionState,
    kind: EndingKind,
    would_decide: tuple[str, ...] = (),
    wanted: Bring | None = None,
) -> Ending:
    """Return how a session ends, with all that is to be told."""
    under_way = state.proving.result
    return Ending(
        kind,
        (*state.results, under_way) if state.in_proof else tuple(state.results),
        tuple(dict.fromkeys((*under_way.unread, *state.passed))),
        would_decide,
        tuple(sorted(state.dangers.held)),
        tuple(state.dangers.passages),
        _slips(state),
        also_seen(state),
        wanted,
    )


def _slips(state: SessionState) -> tuple[TakenBack, ...]:
    """Return the slips; what was merely answered with one, and as it should be, raised nothing."""
    findings = state.rulebook.findings
    sound = {name: one.states[0] for name, one in findings.items() if one.states}
    return tuple(one for one in slips(state.journal) if one.was != sound.get(one.finding, one))
