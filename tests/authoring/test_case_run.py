"""What the judge of worked cases counts against a session, one sentence each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from diag.authoring.case_run import CaseRun
from diag.model.case import Case
from diag.session.proof.ending import Ending
from diag.session.proof.run import RepairResult

PAIR = Case("two at once", "lamp", "dark", ("flat cells", "broken wire"), {}, dangers=("fire",))
WELL = CaseRun(
    case=PAIR,
    ranking=(("broken wire", 0.9),),
    nothing=0.02,
    unknown=0.01,
    dangers=("fire",),
    proposed=("flat cells", "broken wire"),
    late_dangers=(),
    forbidden=(),
    suspects=(),
    checks=("look", "measure"),
    minutes=12.0,
    path_minutes=8.0,
    ending=None,
)
SOUND = replace(PAIR, truth=())
PLANTED = replace(PAIR, wrong=("volts",))


def ended(kind: Any, *causes: str) -> Ending:
    return Ending(kind, tuple(RepairResult(one, "held", "held") for one in causes), ())


CASES: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {
    "all well": ({}, ()),
    "both repaired": ({"ending": ended("proved", "flat cells", "broken wire")}, ()),
    "a planted reading named": ({"case": PLANTED, "suspects": ("volts",)}, ()),
    "a second cause never among the first": (
        {
            "proposed": ("flat cells", "rust", "dust"),
            "ranking": (("rust", 0.5), ("broken wire", 0.03)),
        },
        ("`broken wire` is not found; leading are `rust` 0.50, `broken wire` 0.03",),
    ),
    "a false danger": (
        {"dangers": ("fire", "gas")},
        ("danger `gas` is raised, which the case does not know",),
    ),
    "a missed danger": ({"dangers": ()}, ("danger `fire` is not raised",)),
    "a late danger": ({"late_dangers": ("fire",)}, ("danger `fire` is raised too late",)),
    "a forbidden act": (
        {"forbidden": ("light it",)},
        ("`light it` is put forward although a danger forbids it",),
    ),
    "an untrue proof": (
        {"ending": ended("proved", "flat cells")},
        ("it says proved, and `broken wire` was never repaired",),
    ),
    "an untrue all-clear": (
        {"ending": ended("nothing wrong")},
        ("it says that nothing is wrong",),
    ),
    "a sound unit suspected": (
        {"case": SOUND, "proposed": ()},
        ("nothing is wrong, yet `broken wire` leads with 0.90",),
    ),
    "a planted reading not named": (
        {"case": PLANTED},
        ("the wrong reading `volts` is not suspected",),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_each_is_counted(name: str) -> None:
    """A case fails for what was missed, false, late, forbidden or untrue, and for nothing else."""
    change, said = CASES[name]
    assert said == replace(WELL, **change).failures


def test_wrong_repairs_are_counted_at_any_point() -> None:
    """A repair that the unit does not need is told, whether it was proposed first or last."""
    tried = replace(WELL, proposed=("rust", "flat cells", "dust", "broken wire"))
    assert ("rust", "dust") == tried.wrong_repairs
    assert () == WELL.wrong_repairs


def test_minutes_stand_beside_those_of_the_path() -> None:
    """A run tells its own minutes and those of the shortest way, to be compared."""
    assert (12.0, 8.0) == (WELL.minutes, WELL.path_minutes)
