"""What rests on what: the findings that a conclusion needs, and the causes that a finding tells of.

Both go by the rules as they are written, whatever was answered so far.
"""

from __future__ import annotations

from diag.model.expression import names_in
from diag.session.state import SessionState

LEAST_SHARE = 0.005


def findings_of(state: SessionState, name: str) -> frozenset[str]:
    """Return the findings that a finding, figure or sign rests on, or would rest on."""
    found, seen, left = set[str](), {name}, [name]
    while left:
        one = left.pop()
        if one in state.rulebook.findings:
            found.add(one)
            continue
        below = [part for part in _parts(state, one) if part not in seen]
        seen.update(below)
        left += below
    return frozenset(found)


def _parts(state: SessionState, name: str) -> list[str]:
    """Return the names in the formulas of a figure, or in the rules that conclude a sign."""
    figure = state.rulebook.figures.get(name)
    if figure is not None:
        return [part for term in figure.terms for part in names_in(term)]
    rules = [rule for rule in state.compiled.rules if rule.then.name == name]
    return [part for rule in rules for part in names_in(rule.when)]


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
