"""What rests on what: the findings that a conclusion needs, and the causes that a finding tells of.

Both go by the rules as they are written, whatever was answered so far.
"""

from __future__ import annotations

from diag.logic.rests_on import resting_on
from diag.session.state import SessionState

LEAST_SHARE = 0.005


def findings_of(state: SessionState, name: str) -> frozenset[str]:
    """Return the findings that a finding, figure or sign rests on, or would rest on."""
    found = frozenset(resting_on([name], state.compiled.below.get))
    return found.intersection(state.rulebook.findings)


def told_of_by(state: SessionState, finding: str) -> tuple[str, ...]:
    """Return the causes still in question that an answer may speak for or against, the likeliest
    first: those linked to a sign that rests on the finding."""
    links, found = state.start.links, set[int]()
    for table in links.tables:
        if finding in findings_of(state, table.sign):
            found |= table.given.keys()
    names = {links.causes[index] for index in found}
    return tuple(
        name for name, share in state.posterior.ranking if name in names and share >= LEAST_SHARE
    )
