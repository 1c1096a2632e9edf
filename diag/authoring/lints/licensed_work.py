"""Work that may be reserved says who may do it.

A repair that opens the fuel side, the combustion side or the electrics, or one of the areas fuel,
combustion and supply behind an access of 5 minutes or more, says under `licensed` that local
rules and licensed people come first.

Fails:
    acts: {opens the fuel side: Fuel may run out.}
    causes:
      rusty switch: {repair: {acts: [opens the fuel side]}}

Says:
    the repair of `rusty switch` does not say who may do this work
    add `licensed: ...` to its `repair`, with local rules first

Passes:
    acts: {opens the fuel side: Fuel may run out.}
    causes:
      rusty switch: {repair: {acts: [opens the fuel side], licensed: Local rules come first.}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.deep_work_cautioned import DEEP
from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem

OPENING = frozenset({"opens the fuel side", "opens the combustion side", "opens the electrics"})
AREAS = frozenset({"fuel", "combustion", "supply"})


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each repair of such work that does not say who may do it."""
    book = material.rulebook
    for cause in book.causes.values():
        repair = cause.repair
        deep = book.scales.access.get(repair.access, 0.0) >= DEEP and cause.area in AREAS
        if (deep or OPENING.intersection(repair.acts)) and not repair.licensed:
            yield Problem(
                cause.place,
                f"the repair of `{cause.id}` does not say who may do this work",
                "add `licensed: ...` to its `repair`, with local rules first",
            )


LINT = Lint("C08", "licensed-work", check)
