"""Every check says who and what must be there for it, so that nobody is sent where that is not."""

from __future__ import annotations

import re

from diag.model.rulebook import Check
from tests.dangers.shipped import book

OF_THE_VEHICLE = re.compile(
    r"\b(batter(y|ies)|tank|vehicle|boat|radio|engine|standpipe|duct|aerial|supply cables?)\b"
)
ANYWHERE = {
    "look round for danger": "wherever the heater is, all that is near it is looked at",
    "read the supply setting": "it is read at the control unit, of which battery that was set for",
}
"""Checks that name a part of the vehicle and can be made without it, and why."""
CHECKS = book().checks.values()


def _said(check: Check) -> str:
    return " ".join((check.do, *(book().findings[name].ask for name in check.yields)))


def test_who_is_asked_is_there() -> None:
    """A check that asks somebody wants the owner there."""
    asks = [one for one in CHECKS if re.match(r"Ask\b", one.do)]
    assert asks
    assert [] == [one.id for one in asks if "owner" not in one.there]


def test_what_is_looked_at_in_the_vehicle_is_there() -> None:
    """A check whose words name a part of the vehicle wants the vehicle, or its owner, there."""
    names = [one for one in CHECKS if OF_THE_VEHICLE.search(_said(one)) and not one.there]
    assert sorted(ANYWHERE) == sorted(one.id for one in names)


def test_a_reading_of_a_tool_is_the_tool_s_alone() -> None:
    """Where one act yields what is measured and what is seen, the meter is wanted for its own."""
    findings = book().findings
    mixed = [
        one.id
        for one in CHECKS
        if one.tools == ("multimeter",)
        and {findings[name].how for name in one.yields} == {"measured", "seen"}
        and not one.needed_for
    ]
    assert [] == mixed
