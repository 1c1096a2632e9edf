"""How a finding is measured on one unit, line by line, wherever it is told."""

from __future__ import annotations

from collections.abc import Iterable

from diag.model.rulebook import Finding
from diag.session.proof.good import CLASS_VALUE, what_is_good
from diag.session.state import SessionState

Lines = list[tuple[str, str]]
"""Label and text, in order."""
OWN_FIRST = "Its own manual comes first."
NO_LIMIT = "The rules hold no limit for it; its own manual may."


def measuring(finding: Finding, good: Iterable[tuple[str, str]], drawn: bool) -> Lines:
    """Return how a finding is measured; nothing where the rules do not say.

    `good` is what is good by the rules, labelled; `drawn`: its drawing is shown beside it, so
    that what it shows need not be told in words.
    """
    how = finding.measure
    if how is None:
        return []
    lines = [("with", how.tool), ("where", how.where)]
    lines += [] if drawn or not how.in_words else [("drawing", how.in_words)]
    lines += [("when", how.when), *good]
    return lines + [("mistake", one) for one in how.mistakes]


def measuring_here(state: SessionState, finding: Finding, drawn: bool) -> Lines:
    """Return how a finding is measured on the unit of a session; see `measuring`."""
    if finding.measure is None:
        return []
    network, known = state.compiled.network, state.now.told
    worked_out = what_is_good(state.rulebook, state.unit, finding.id, known, network)
    assumed = worked_out is not None and worked_out.endswith(CLASS_VALUE)
    said = [f"{worked_out}." if worked_out else "", OWN_FIRST if assumed else ""]
    good = " ".join(part for part in (*said, finding.measure.good) if part) or NO_LIMIT
    return measuring(finding, [("good", good)], drawn)
