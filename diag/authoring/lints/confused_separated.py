"""What `confused with` names really tells the two causes apart.

The named sign, or a sign that rests on the named finding, must be expected otherwise under the
one cause than under the other: the total variation distance of the two is a quarter or more.
Below that, whoever looks is little wiser than with a coin.

Fails:
    causes:
      flat cells: {confused with: {broken wire: beam}}

Says:
    `beam` does not tell `flat cells` from `broken wire`: both lead one to expect the same of it
    name a sign that only one of the two shows, or say in `shows` how they differ

Passes:
    causes:
      flat cells: {confused with: {broken wire: cell volts}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.authoring.predictive import apart, expected, signs_resting_on
from diag.model.problem import Problem
from diag.reason.belief.links import compile_links

LEAST_DISTANCE = 0.25


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each `confused with` whose sign does not separate."""
    book = material.rulebook
    links = compile_links(book.signs, book.causes)
    for cause in book.causes.values():
        for other, name in cause.confused_with.items():
            distance = max(
                (
                    apart(expected(links, cause.id, sign), expected(links, other, sign))
                    for sign in signs_resting_on(book, name)
                ),
                default=0.0,
            )
            if distance < LEAST_DISTANCE:
                yield Problem(
                    cause.place,
                    f"`{name}` does not tell `{cause.id}` from `{other}`: both lead one to expect "
                    "the same of it",
                    "name a sign that only one of the two shows, or say in `shows` how they differ",
                )


LINT = Lint("C04", "confused-separated", check)
