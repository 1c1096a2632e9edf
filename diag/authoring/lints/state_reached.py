"""Every state of a sign can be concluded.

A state that no rule concludes is never seen, and what a cause says of it never counts. A sign
looked up in a unit's own code list is left out: each unit brings its own list.

Fails:
    signs:
      supply: {states: [holds, sags, gone]}

Says:
    no rule ever concludes that `supply` is `gone`
    add a rule for it, or take the state out

Passes:
    signs:
      supply: {states: [holds, sags]}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each state of a concluded sign that no rule reaches."""
    book = material.rulebook
    reached = {(rule.then.name, rule.then.state) for rule in book.rules}
    for sign in book.signs.values():
        if sign.is_finding or sign.looked_up:
            continue
        for state in sign.states:
            if (sign.id, state) not in reached:
                yield Problem(
                    sign.place,
                    f"no rule ever concludes that `{sign.id}` is `{state}`",
                    "add a rule for it, or take the state out",
                )


LINT = Lint("D04", "state-reached", check)
