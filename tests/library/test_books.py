"""The books of other subjects are sound themselves."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag import Session
from diag.authoring.cases import run_all
from diag.authoring.lints import Material, run_lints
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from tests.library.answers import BREAD


def test_the_bread_book_is_large_enough_to_try_a_session(
    bread: Rulebook, cases: dict[str, Case]
) -> None:
    """Fifteen causes or more, each the truth of a case, and twenty cases or more."""
    assert len(bread.causes) >= 15
    assert len(cases) >= 20
    assert set(bread.causes) == {name for case in cases.values() for name in case.truth}


def test_the_bread_book_is_free_of_problems(bread: Rulebook, cases: dict[str, Case]) -> None:
    """Every lint is content with the book and its cases."""
    assert () == run_lints(Material(bread, tuple(cases.values())))


def test_every_case_of_the_bread_book_comes_out(bread: Rulebook, cases: dict[str, Case]) -> None:
    """Each case finds its truth, and raises its danger before anything else."""
    runs = run_all(bread, cases.values())
    assert {} == {run.case.id: run.failures for run in runs if run.failures}


@pytest.mark.parametrize("celsius", [4.0, 20.0, 30.0])
def test_a_litre_of_tap_water_passes_on_sound_scales(bread: Rulebook, celsius: float) -> None:
    """Scales true to 3 % are right for water of any tap, and those off by 6 % are wrong.

    Source of the density: IAPWS-95, by CoolProp.
    """
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    grams = coolprop.PropsSI("D", "T", celsius + 273.15, "P", 101325, "Water")
    for slip in (-0.03, 0.0, 0.03):
        session = Session(bread)
        session.change("scales with a litre", f"{grams * (1 + slip):.1f} g")
        assert ["weighing is right"] == [line.split(":")[0] for line in session.why("weighing")]
    session.change("scales with a litre", f"{grams * 1.06:.1f} g")
    assert ["weighing is wrong"] == [line.split(":")[0] for line in session.why("weighing")]


def test_the_bread_book_speaks_of_nothing_else() -> None:
    """The book keeps to its subject: no word of warm-air units stands in it."""
    words = ("heater", "diesel", "glow", "kerosene")
    texts = {path: path.read_text(encoding="utf-8").lower() for path in Path(BREAD).rglob("*.yaml")}
    assert [] == [path for path, text in texts.items() if any(word in text for word in words)]
