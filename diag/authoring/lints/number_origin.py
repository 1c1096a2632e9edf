"""A number in a rule or a figure says where it comes from.

The reader demands it of plain sums and conditions; here it is demanded of every rule and figure
with a number in it, those of formulas too.

Fails:
    source: none
    figures:
      glow: {unit: W, formula: power, takes: {voltage: cell volts, current: 0.5 A}}

Says:
    the numbers of the figure `glow` do not say where they come from
    add a line `source: ...`

Passes:
    source: none
    figures:
      glow: {unit: W, formula: power, takes: {voltage: cell volts, current: 0.5 A}, source: memory}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.expression import Expression, Literal, walk
from diag.model.problem import Place, Problem
from diag.model.rulebook import Origin


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each rule or figure with a number and without an origin."""
    book = material.rulebook
    stated: list[tuple[str, Place, Origin | None, tuple[Expression, ...]]] = [
        (f"figure `{one.id}`", one.place, one.origin, one.terms) for one in book.figures.values()
    ]
    stated += [(f"rule `{one.id}`", one.place, one.origin, (one.when,)) for one in book.rules]
    for what, place, origin, expressions in stated:
        numbers = any(isinstance(part, Literal) for one in expressions for part in walk(one))
        if numbers and origin is None:
            yield Problem(
                place,
                f"the numbers of the {what} do not say where they come from",
                "add a line `source: ...`",
            )


LINT = Lint("O01", "number-origin", check)
