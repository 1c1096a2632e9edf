"""The shipped rulebook: it reads without a problem, and its worked cases come out."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.authoring.case_runner import run_case
from diag.authoring.cases import run_all, sort_of, tally
from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases

HELD_OUT = Path(__file__).parent / "held-out"
FIRST_SCORES = {
    "first.yaml": {"one cause": 15, "two causes": 4, "nothing wrong": 2},
    "second.yaml": {"one cause": 20, "nothing wrong": 4},
    "third.yaml": {"one cause": 4, "two causes": 10, "a wrong reading planted": 4},
    "fourth.yaml": {"one cause": 36, "two causes": 9, "nothing wrong": 8},
}
"""How many held-out cases came out the first time; rules may raise it, never lower it.

Once it was lowered, from 5 wrong readings to 4: two checks that cost the same to half a minute
changed places when checks for dangers came in, so that the planted reading is not asked for.
"""

SHARES = 24
"""The shipped cases are dealt out, so that several processes can share them."""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


@pytest.fixture(scope="module")
def cases(book: Rulebook) -> tuple[Case, ...]:
    found = load_cases(shipped_rules() / "cases", book)
    return tuple(case for case in found if Path(case.place.path).name != "demo.yaml")


@pytest.mark.cases
@pytest.mark.parametrize("share", range(SHARES))
def test_every_shipped_case_finds_its_truth(
    book: Rulebook, cases: tuple[Case, ...], share: int
) -> None:
    """One cause comes first, two come among the first three, dangers are raised in time."""
    runs = run_all(book, cases[share::SHARES])
    assert {run.case.id: run.failures for run in runs if run.failures} == {}


def test_a_case_with_a_wrong_truth_fails(book: Rulebook, cases: tuple[Case, ...]) -> None:
    """The check of cases can fail: a case that names another cause is told so."""
    case = next(case for case in cases if case.truth == ("worn battery",))
    wrong = Case(case.id, case.unit, case.complaint, ("glow plug open circuit",), case.readings)
    assert "`glow plug open circuit` is not found" in run_case(book, wrong).failures[0]


@pytest.mark.cases
def test_a_session_may_go_on_after_a_repair_in_vain(
    book: Rulebook, cases: tuple[Case, ...]
) -> None:
    """It ends at the first such repair, or goes on to another end after as many as are allowed."""
    case = next(case for case in cases if case.truth == ("worn battery",))
    wrong = Case(case.id, case.unit, case.complaint, ("glow plug open circuit",), case.readings)
    once, again = run_case(book, wrong), run_case(book, wrong, in_vain=1)
    assert once.proposed == ("worn battery",)
    assert again.proposed[:1] == once.proposed
    assert len(again.proposed) > len(once.proposed) or again.ending is not None


def test_the_rulebook_is_as_large_as_the_job_needs(book: Rulebook, cases: tuple[Case, ...]) -> None:
    """Causes, findings, rules and cases cover the heater that will not start."""
    assert len(book.causes) >= 20
    assert len(book.findings) >= 45
    assert len(book.rules) >= 60
    assert len(cases) >= 20
    assert {"one cause", "two causes", "nothing wrong"} <= {sort_of(case) for case in cases}


def test_each_cause_lies_in_its_area_under_its_own_name(book: Rulebook) -> None:
    """Folder, file name and id agree."""
    for cause in book.causes.values():
        path = Path(cause.place.path)
        assert path.parent.name == cause.area
        assert path.stem == cause.id.replace(" ", "-")


def test_every_cause_has_its_repair_proof_and_origin(book: Rulebook) -> None:
    """A cause says what to do, how it is proved, what to tell, and where its numbers come from."""
    for cause in book.causes.values():
        assert cause.repair.do, cause.id
        assert cause.proof, cause.id
        assert cause.origin is not None, cause.id
        assert cause.shows, cause.id


def test_every_cause_has_a_case(book: Rulebook, cases: tuple[Case, ...]) -> None:
    """Each cause is the truth of at least one worked case."""
    covered = {name for case in cases for name in case.truth}
    assert set(book.causes) - covered == set()


@pytest.mark.cases
@pytest.mark.parametrize("name", FIRST_SCORES)
def test_held_out_cases_come_out_as_often_as_at_first(book: Rulebook, name: str) -> None:
    """Cases written after the causes, never tuned on, keep at least their first score."""
    runs = run_all(book, load_cases(HELD_OUT / name, book))
    right = {count.sort: count.right for count in tally(runs)}
    first = FIRST_SCORES[name]
    assert {} == {sort: right[sort] for sort in first if right[sort] < first[sort]}
