"""Every sign is shown by a cause or used by a rule.

A sign that no cause shows and no rule uses is concluded for nothing.

Fails:
    signs:
      hot:
        states: [no, yes]
        rules: [{when: cell volts <= 9 V, then: no}, {when: cell volts > 9 V, then: yes}]

Says:
    the sign `hot` is shown by no cause and used by no rule
    show it in a cause, use it in a condition, or take the sign out

Passes:
    signs:
      hot:
        states: [no, yes]
        rules: [{when: cell volts <= 9 V, then: no}, {when: cell volts > 9 V, then: yes}]
    causes:
      broken wire: {shows: {hot: {yes: improbable}}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.authoring.lints.uses import names_used
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each concluded sign that nothing uses."""
    used = names_used(material.rulebook)
    for sign in material.rulebook.signs.values():
        if not sign.is_finding and sign.id not in used:
            yield Problem(
                sign.place,
                f"the sign `{sign.id}` is shown by no cause and used by no rule",
                "show it in a cause, use it in a condition, or take the sign out",
            )


LINT = Lint("D03", "sign-used", check)
