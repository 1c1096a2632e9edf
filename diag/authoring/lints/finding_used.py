"""Every finding counts for something.

An answer that no rule, figure, cause, danger, proof or question rests on costs minutes and
changes nothing.

Fails:
    findings:
      hum: {ask: Does it hum?, kind: yes/no, as it should be: no}
    checks:
      listen: {do: Listen., minutes: 1, yields: [hum]}

Says:
    nothing rests on the finding `hum`, so that its answer changes nothing
    use it in a rule or show it in a cause, or take it out of its check

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
from diag.authoring.lints.uses import names_used
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each finding that nothing uses."""
    used = names_used(material.rulebook)
    for finding in material.rulebook.findings.values():
        if finding.id not in used:
            yield Problem(
                finding.place,
                f"nothing rests on the finding `{finding.id}`, so that its answer changes nothing",
                "use it in a rule or show it in a cause, or take it out of its check",
            )


LINT = Lint("D02", "finding-used", check)
