"""Work that takes long to get at has its cautions.

Where a cover comes off or a unit goes to the bench, hands come near what can hurt: each such
check and repair names what to mind. Meant is every access that takes 5 minutes or more.

Fails:
    causes:
      broken wire: {cautions: , repair: {access: bench}}

Says:
    the repair of `broken wire` needs `bench` and names no caution
    add `cautions: [...]` with what can hurt there

Passes:
    causes:
      broken wire: {cautions: [glass], repair: {access: bench}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem

DEEP = 5.0
"""Minutes to get there from which on an access counts as deep."""


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each check and repair behind deep access without cautions."""
    book = material.rulebook
    acts = [
        (f"the check `{one.id}`", one.access, one.cautions, one.place)
        for one in book.checks.values()
    ]
    acts += [
        (f"the repair of `{one.id}`", one.repair.access, one.cautions, one.place)
        for one in book.causes.values()
    ]
    for what, access, cautions, place in acts:
        if book.scales.access.get(access, 0.0) >= DEEP and not cautions:
            yield Problem(
                place,
                f"{what} needs `{access}` and names no caution",
                "add `cautions: [...]` with what can hurt there",
            )


LINT = Lint("C03", "deep-work-cautioned", check)
