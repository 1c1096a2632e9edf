"""What runs the heater warns of its exhaust.

A check or a repair with the act `runs the heater`, `watched run` or `watched start` names the
caution `exhaust gas`, so that nobody runs a heater without having read it.

Fails:
    acts: {runs the heater: It burns.}
    checks:
      look at it: {acts: [runs the heater]}

Says:
    the check `look at it` runs the heater and does not name the caution `exhaust gas`
    add `exhaust gas` to its `cautions`

Passes:
    acts: {runs the heater: It burns.}
    cautions: {exhaust gas: Lead it outdoors.}
    checks:
      look at it: {acts: [runs the heater], cautions: [glass, exhaust gas]}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.cautions_wanted import lacking
from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem

WANTED = dict.fromkeys(("runs the heater", "watched run", "watched start"), "exhaust gas")
"""Act to the caution that it needs."""


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each check and repair that runs the heater without that caution."""
    for what, place, caution in lacking(material.rulebook, WANTED):
        yield Problem(
            place,
            f"{what} runs the heater and does not name the caution `{caution}`",
            f"add `{caution}` to its `cautions`",
        )


LINT = Lint("C06", "run-cautioned", check)
