"""Every caution is named by a check or a cause.

A caution that nothing names is never shown to anybody.

Fails:
    cautions:
      heat: A lamp that has burned is hot.

Says:
    the caution `heat` is named by no check and no cause, so that nobody reads it
    add it to the `cautions` of what it is about, or take it out

Passes:
    cautions:
      heat: A lamp that has burned is hot.
    causes:
      flat cells: {cautions: [heat, glass]}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Place, Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each caution without a user; a caution has no place of its own."""
    book = material.rulebook
    named = {name for check in book.checks.values() for name in check.cautions}
    named |= {name for cause in book.causes.values() for name in cause.cautions}
    for name in sorted(set(book.cautions) - named):
        yield Problem(
            Place("cautions"),
            f"the caution `{name}` is named by no check and no cause, so that nobody reads it",
            "add it to the `cautions` of what it is about, or take it out",
        )


LINT = Lint("D05", "caution-used", check)
