"""What rests on what, the causes that a finding tells of, and the findings worth asking for.

All go by the rules as they are written, whatever was answered so far.
"""

from __future__ import annotations

from collections.abc import Collection

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


def worth_asking(state: SessionState, causes: Collection[str] = ()) -> frozenset[str]:
    """Return the findings that tell of these causes or of those still in question, of a danger, or
    of the end of the complaint."""
    index = state.start.links.cause_index
    names = {name for name, share in state.posterior.ranking if share >= LEAST_SHARE} | set(causes)
    telling = state.compiled.telling
    proofs = [telling.of_proof.get(one, frozenset[str]()) for one in state.complaints]
    own = [telling.of_cause[index[name]] for name in names]
    return telling.of_dangers.union(*own, *([] if state.repairs else proofs))


def bringing(state: SessionState) -> tuple[str, ...]:
    """Return the causes that list a complaint told of."""
    links, told = state.start.links, frozenset(state.complaints)
    listed = zip(links.causes, links.complaints, strict=True)
    return tuple(name for name, complaints in listed if told & complaints.keys())
