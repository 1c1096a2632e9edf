"""What is measured says how: with what, where, when, what is good, and the usual mistakes.

What is good is worked out from the rules that judge it. Where they set no limit, it is said in
words; where they set one, the words hold no number that could differ from it.

Fails:
    findings:
      cell volts: {measure: }

Says:
    `cell volts` is measured, and does not say how
    add `measure:` with `with`, `where`, `when` and `mistakes`

Passes:
    findings:
      cell volts:
        measure:
          with: Multimeter on DC volts, 20 V range.
          where: Red on the cap of the cell, black on its base.
          when: With the lamp on, for a second.
          mistakes: [The lamp is off, and a flat cell reads like a good one.]
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem
from diag.model.rulebook import Finding, Rulebook
from diag.session.proof.good import what_is_good


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each measured finding that leaves something to guess."""
    for finding in material.rulebook.findings.values():
        if finding.how == "measured":
            yield from _of(material.rulebook, finding)


def _of(book: Rulebook, finding: Finding) -> Iterator[Problem]:
    how = finding.measure
    if how is None:
        message = f"`{finding.id}` is measured, and does not say how"
        advice = "add `measure:` with `with`, `where`, `when` and `mistakes`"
        yield Problem(finding.place, message, advice)
    elif not how.good and not _has_limit(book, finding):
        message = f"no rule sets a limit to `{finding.id}`, and it does not say what to expect"
        yield Problem(finding.place, message, "add `good: ...` to its `measure`, in words")
    elif any(char.isdigit() for char in how.good) and _has_limit(book, finding):
        message = f"`good` of `{finding.id}` holds a number, and the rules set its limit already"
        yield Problem(finding.place, message, "take the number out; it is worked out")


def _has_limit(book: Rulebook, finding: Finding) -> bool:
    return any(what_is_good(book, unit, finding.id) for unit in book.units.values())


LINT = Lint("D07", "measured-told", check)
