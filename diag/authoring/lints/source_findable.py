"""A published source can be found: it carries a year, a number or an edition.

`published in a good book` sends nobody to the right page.

Fails:
    causes:
      flat cells: {source: published in a good book}

Says:
    `published in a good book` of the cause `flat cells` names no year, number or edition
    write which, such as `published in IEC 60228:2004 Table 3`, or say `memory`

Passes:
    causes:
      flat cells: {source: published in IEC 60228:2004 Table 3}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Place, Problem
from diag.model.rulebook import Origin


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each published source without a figure in its name."""
    book = material.rulebook
    stated: list[tuple[str, Place, Origin | None]] = [
        (f"cause `{one.id}`", one.place, one.origin) for one in book.causes.values()
    ]
    stated += [(f"figure `{one.id}`", one.place, one.origin) for one in book.figures.values()]
    stated += [(f"rule `{one.id}`", one.place, one.origin) for one in book.rules]
    for what, place, origin in stated:
        if origin is None or origin.kind != "published":
            continue
        if not any(letter.isdigit() for letter in origin.note):
            yield Problem(
                place,
                f"`{origin}` of the {what} names no year, number or edition",
                "write which, such as `published in IEC 60228:2004 Table 3`, or say `memory`",
            )


LINT = Lint("O02", "source-findable", check)
