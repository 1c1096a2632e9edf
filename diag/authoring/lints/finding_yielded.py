"""Every finding is yielded by a check.

A finding that no check yields is never asked, and what rests on it is never known.

Fails:
    findings:
      hum: {ask: Does it hum?, kind: yes/no, as it should be: no}
    causes:
      flat cells: {shows: {hum: {yes: improbable}}}

Says:
    the finding `hum` is yielded by no check, so that nobody is ever asked for it
    add it to the `yields` of a check, or take the finding out

Passes:
    findings:
      hum: {ask: Does it hum?, kind: yes/no, as it should be: no}
    checks:
      listen: {do: Listen., minutes: 1, yields: [hum]}
    causes:
      flat cells: {shows: {hum: {yes: improbable}}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each finding without a check."""
    book = material.rulebook
    yielded = {name for each in book.checks.values() for name in each.yields}
    for finding in book.findings.values():
        if finding.id not in yielded:
            yield Problem(
                finding.place,
                f"the finding `{finding.id}` is yielded by no check, so that nobody is ever asked "
                "for it",
                "add it to the `yields` of a check, or take the finding out",
            )


LINT = Lint("D01", "finding-yielded", check)
