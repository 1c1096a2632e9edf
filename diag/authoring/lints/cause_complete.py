"""A cause says which complaint it brings, how its repair is proved and what the owner is told.

A repair without a proof is a guess, and a cause that lists no complaint comes up only by chance.

Fails:
    causes:
      flat cells: {tell the owner: }

Says:
    the cause `flat cells` has no `tell the owner`
    add a line `tell the owner: ...`

Passes:
    causes:
      flat cells: {tell the owner: The cells were flat.}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each part that a cause lacks."""
    for cause in material.rulebook.causes.values():
        parts = {
            "complaints": cause.complaints,
            "explain": cause.explain,
            "proof": cause.proof,
            "tell the owner": cause.tell_owner,
        }
        for key, value in parts.items():
            if not value:
                message = f"the cause `{cause.id}` has no `{key}`"
                message = f"the cause `{cause.id}` has no `{key}`"
                yield Problem(cause.place, message, f"add a line `{key}: ...`")


LINT = Lint("C02", "cause-complete", check)
