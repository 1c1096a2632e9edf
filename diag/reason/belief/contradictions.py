"""Signs that only causes ruled out can show: a rule that rules out clashes with one that sees.

An idea of ours: a fault of the rules themselves, told apart from readings that do not fit.
"""

from __future__ import annotations

from collections.abc import Iterable

from diag.model.frozen import frozen
from diag.reason.belief.evidence import Evidence
from diag.reason.belief.links import Links


@frozen
class RuleContradiction:
    """A sign in a state that no cause but some ruled out brings about."""

    sign: str
    state: str
    causes: tuple[str, ...]


def rule_contradictions(
    evidence: Iterable[Evidence], excluded: Iterable[str], links: Links
) -> tuple[RuleContradiction, ...]:
    """Return the signs that only causes ruled out bring about, in order of sign."""
    out = {links.cause_index[cause] for cause in excluded}
    found = set()
    for one in evidence if out else ():
        table = links.table(one.sign)
        place = table.states.index(one.state)
        able = {cause for cause, rates in table.rates.items() if place and rates[place - 1] > 0}
        if able and able <= out:
            names = tuple(links.causes[cause] for cause in sorted(able))
            found.add((one.sign, one.state, names))
    return tuple(RuleContradiction(*each) for each in sorted(found))
