"""Worked cases by several processes, on the book of bread."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from diag.authoring.cases import run_all
from diag.authoring.playing import playing
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases, load_rulebook

BREAD = Path(__file__).parents[1] / "books" / "bread"


@pytest.fixture(scope="module")
def bread() -> Rulebook:
    return load_rulebook([BREAD], {})


@pytest.fixture(scope="module")
def cases(bread: Rulebook) -> tuple[Case, ...]:
    return tuple(load_cases(BREAD / "cases", bread))[:7]


@pytest.mark.parametrize("processes", [1, 2, 3, 20])
def test_several_processes_play_what_one_plays(
    bread: Rulebook, cases: tuple[Case, ...], processes: int
) -> None:
    """However many share the work, the runs are the same, in the order of the cases."""
    with playing(bread, cases, processes) as runs:
        played = tuple(runs)
    assert run_all(bread, cases) == played
    assert [case.id for case in cases] == [run.case.id for run in played]


@pytest.mark.parametrize("processes", [1, 2])
def test_what_a_case_raises_is_raised(
    bread: Rulebook, cases: tuple[Case, ...], processes: int
) -> None:
    """A case that cannot be played raises the same by one process and by several."""
    broken = replace(cases[3], unit="no such unit")
    with (
        playing(bread, [*cases[:3], broken, *cases[4:]], processes) as runs,
        pytest.raises(KeyError, match="no such unit"),
    ):
        tuple(runs)


def test_without_cases_nothing_is_played(bread: Rulebook) -> None:
    """No case, no run."""
    with playing(bread, (), 2) as runs:
        assert () == tuple(runs)
