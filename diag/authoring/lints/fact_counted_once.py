"""One fact counts once for a cause.

Where one sign rests on all the readings of another and both are linked to the same cause, the
same reading may speak for it twice. Either one makes the other redundant (`supersedes`), or
`counts beside` says why they are two facts.

Fails:
    signs:
      weak cells:
        states: [no, yes]
        rules:
          - {when: cell volts < 2 V, then: yes}
          - {when: cell volts >= 2 V, then: no}
    causes:
      flat cells: {shows: {weak cells: {yes: probable}}}

Says:
    one fact may count twice for `flat cells`: `supply` rests on all readings of `weak cells`
    let one of them supersede the other, or say in `counts beside` why these are two facts

Passes:
    signs:
      weak cells:
        states: [no, yes]
        counts beside: {supply: cells may be weak and still hold for a while}
        rules:
          - {when: cell volts < 2 V, then: yes}
          - {when: cell volts >= 2 V, then: no}
    causes:
      flat cells: {shows: {weak cells: {yes: probable}}}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from diag.authoring.lints.lint import Lint, Material
from diag.authoring.predictive import readings_under
from diag.model.problem import Problem
from diag.model.rulebook import Rulebook


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each two signs that may count one fact twice for a cause."""
    book = material.rulebook
    under = readings_under(book)
    for one, other in permutations(book.signs, 2):
        same = under[one] == under[other]
        if not under[other] <= under[one] or (same and other < one) or _settled(book, one, other):
            continue
        causes = [name for name, cause in book.causes.items() if {one, other} <= cause.shows.keys()]
        if causes:
            yield Problem(
                book.signs[one].place,
                f"one fact may count twice for `{causes[0]}`: `{one}` rests on all readings of "
                f"`{other}`",
                "let one of them supersede the other, or say in `counts beside` why these are two "
                "facts",
            )


def _settled(book: Rulebook, one: str, other: str) -> bool:
    first, second = book.signs[one], book.signs[other]
    named = {*first.supersedes, *first.counts_beside}, {*second.supersedes, *second.counts_beside}
    return other in named[0] or one in named[1]


LINT = Lint("D06", "fact-counted-once", check)
