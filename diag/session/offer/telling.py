"""Which findings tell of what, by the rules as written: what tells of nothing need not be asked.

With each finding goes what decides whether it makes sense.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from diag.logic.rests_on import Direct, findings_under, resting_on
from diag.model.expression import names_in
from diag.model.frozen import frozen
from diag.model.rulebook import Finding, Rulebook
from diag.reason.belief.links import Links


@frozen
class Telling:
    """The findings that tell of each cause (by index) and each complaint's end, and of dangers."""

    of_cause: tuple[frozenset[str], ...]
    of_dangers: frozenset[str]
    of_proof: Mapping[str, frozenset[str]]

    @classmethod
    def of(cls, rulebook: Rulebook, links: Links, below: Direct) -> Telling:
        """Work out what tells of each cause, complaint and danger of a rulebook."""
        findings = rulebook.findings
        found: list[set[str]] = [set() for _ in links.causes]
        for table in links.tables:
            under = findings.keys() & frozenset(resting_on([table.sign], below.get))
            for cause in table.given:
                found[cause] |= under
        raising = {
            name
            for danger in rulebook.dangers.values()
            for name in findings_under(danger.raised_when, findings, below)
        }
        proofs = {
            one.id: {
                name
                for proof in (*one.proof, *one.lesser_proof)
                for name in findings_under(proof.condition, findings, below)
            }
            for one in rulebook.complaints.values()
        }
        return cls(
            tuple(with_deciding(names, findings) for names in found),
            with_deciding(raising, findings),
            {name: with_deciding(names, findings) for name, names in proofs.items()},
        )


def with_deciding(names: Iterable[str], findings: Mapping[str, Finding]) -> frozenset[str]:
    """Return findings with all that decides whether they make sense."""
    reached, more = set[str](), set(names)
    while more:
        reached |= more
        whens = [findings[name].asked_when for name in more]
        more = {n for when in whens if when is not None for n in names_in(when)}
        more = more & findings.keys() - reached
    return frozenset(reached)
