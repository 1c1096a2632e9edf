"""What charges a battery warns of its gas and of the cold.

A check or a repair with the act `charges the battery` or `watched charge` names the cautions
`battery gas` and `lithium cold`: gas explodes, and a cold battery is harmed for good.

Fails:
    acts: {charges the battery: Current flows into it.}
    cautions: {battery gas: No sparks.}
    causes:
      flat cells: {repair: {acts: [charges the battery]}, cautions: [battery gas]}

Says:
    the repair of `flat cells` charges a battery and does not name the caution `lithium cold`
    add `lithium cold` to its `cautions`

Passes:
    acts: {charges the battery: Current flows into it.}
    cautions: {battery gas: No sparks., lithium cold: Warm it first.}
    causes:
      flat cells: {repair: {acts: [charges the battery]}, cautions: [battery gas, lithium cold]}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.cautions_wanted import lacking
from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem

CHARGING = ("charges the battery", "watched charge")
WANTED = ("battery gas", "lithium cold")


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each of the two cautions that a check or repair that charges lacks."""
    for caution in WANTED:
        for what, place, _ in lacking(material.rulebook, dict.fromkeys(CHARGING, caution)):
            yield Problem(
                place,
                f"{what} charges a battery and does not name the caution `{caution}`",
                f"add `{caution}` to its `cautions`",
            )


LINT = Lint("C07", "charge-cautioned", check)
