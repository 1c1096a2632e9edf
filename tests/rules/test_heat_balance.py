"""The heat balance in a session: it tells little fuel from heat that cannot get out."""

from __future__ import annotations

import pytest

from diag.authoring.case_runner import run_case
from diag.cli.book import load_book
from diag.cli.places import shipped_rules
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases
from diag.session.journal.events import Answered
from diag.session.state import SessionState

BALANCE = "take the heat balance"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


def _case(book: Rulebook, file: str, start: str) -> Case:
    cases = load_cases(shipped_rules() / "cases" / file, book)
    return next(case for case in cases if case.id.startswith(start))


def _after_the_balance(book: Rulebook, case: Case) -> dict[str, float]:
    """Return the causes' probabilities from the findings of the heat balance alone."""
    state = SessionState(book, book.units[case.unit], "weak heat")
    for name in book.checks[BALANCE].yields:
        if name in case.readings:
            state.apply(Answered(name, case.readings[name], "measured", check=BALANCE))
    return state.posterior.causes


@pytest.mark.parametrize(
    ("file", "start", "more", "less"),
    [
        ("fuel-2.yaml", "LIB-39", "pump worn", "duct blocked"),
        ("warm-air-2.yaml", "LIB-48", "duct blocked", "pump worn"),
    ],
)
def test_the_heat_balance_decides_between_a_weak_pump_and_a_blocked_duct(
    book: Rulebook, file: str, start: str, more: str, less: str
) -> None:
    """From the balance's readings the right one leads, and a whole session proposes it first."""
    case = _case(book, file, start)
    after = _after_the_balance(book, case)
    assert after[more] > 3 * after[less]
    run = run_case(book, case)
    assert BALANCE in run.checks
    assert run.proposed[0] == more
