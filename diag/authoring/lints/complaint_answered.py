"""Every complaint is explained by some cause.

An owner who says what no cause lists is led nowhere.

Fails:
    complaints:
      hums: {title: It hums, proof: [beam is bright]}

Says:
    no cause lists the complaint `hums`, so that saying it leads nowhere
    add it to the `complaints` of the causes that bring it about

Passes:
    complaints:
      hums: {title: It hums, proof: [beam is bright]}
    causes:
      flat cells: {complaints: {hums: improbable, will not light: probable}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each complaint that no cause lists."""
    book = material.rulebook
    listed = {name for cause in book.causes.values() for name in cause.complaints}
    for complaint in book.complaints.values():
        if complaint.id not in listed and not _looks_only(complaint.id, material):
            yield Problem(
                complaint.place,
                f"no cause lists the complaint `{complaint.id}`, so that saying it leads nowhere",
                "add it to the `complaints` of the causes that bring it about",
            )


def _looks_only(complaint: str, material: Material) -> bool:
    """Return whether a worked case says that with this complaint nothing need be wrong."""
    return any(case.complaint == complaint and not case.truth for case in material.cases)


LINT = Lint("W01", "complaint-answered", check)
