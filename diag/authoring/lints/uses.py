"""Which names of a rulebook anything rests on."""

from __future__ import annotations

from collections.abc import Iterator

from diag.model.expression import Expression, names_in
from diag.model.rulebook import Rulebook


def names_used(rulebook: Rulebook) -> frozenset[str]:
    """Return each finding, sign and figure that something other than itself refers to."""
    used = {name for each in _expressions(rulebook) for name in names_in(each)}
    for rule in rulebook.rules:
        own = rule.then.name if rule.then.kind == "sign" else ""
        used |= {name for name in names_in(rule.when) if name != own}
    used |= {sign.looked_up for sign in rulebook.signs.values() if sign.looked_up}
    for cause in rulebook.causes.values():
        used |= {*cause.shows, *cause.quiet, *cause.confused_with.values()}
    return frozenset(used)


def _expressions(rulebook: Rulebook) -> Iterator[Expression]:
    for figure in rulebook.figures.values():
        yield from figure.terms
    for finding in rulebook.findings.values():
        if finding.asked_when is not None:
            yield finding.asked_when
    for check in rulebook.checks.values():
        if check.possible_when is not None:
            yield check.possible_when
    for cause in rulebook.causes.values():
        yield from (proof.condition for proof in cause.proof)
    for complaint in rulebook.complaints.values():
        proofs = (*complaint.proof, *complaint.lesser_proof)
        yield from (proof.condition for proof in proofs)
    for danger in rulebook.dangers.values():
        yield danger.released_when
