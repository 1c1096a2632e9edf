"""How a proof is read and judged: slips read again, corrections judged anew, stages apart."""

from __future__ import annotations

import io

import pytest

from diag.cli.terminal.prompts import show_prompt
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.controller import SessionController
from diag.session.prompt import AskFinding, Closing, ProposeRepair, RunAgain
from tests.session.test_controller import BICYCLE, FAILED, TO_THE_REPAIR, sit, tell


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def shown(controller: SessionController) -> str:
    out = io.StringIO()
    show_prompt(Screen(out, plain=True), controller.state, controller.prompt)
    return " ".join(out.getvalue().split())


def kind(controller: SessionController) -> str:
    assert isinstance(controller.prompt, Closing)
    return controller.prompt.ending.kind


def test_a_proof_says_what_it_wants_and_by_how_much_it_fails(book: Rulebook) -> None:
    """The wanted value stands at the question; a reading that fails is told with what it lacks."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, "done", "4")
    assert "Wanted: 3.5 bar or more" in shown(controller)
    tell(controller, "2")
    prompt = controller.prompt
    assert isinstance(prompt, AskFinding)
    assert ("pressure in the evening", True) == (prompt.finding.id, prompt.fails)
    assert "It was 4 bar, 1.5 bar too high; read it once more before that counts." in shown(
        controller
    )
    tell(controller, "4")
    assert "It was 2 bar, 1.5 bar too low; read it once more" in shown(controller)


def test_a_slip_in_a_proof_reading_is_mended_before_it_is_judged(book: Rulebook) -> None:
    """Read right the second time, the repair has no failed result."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, "done", "4", "2", "4", "3.9", "hard")
    assert "proved" == kind(controller)
    assert [True] == [one.proved for one in controller.prompt.ending.results]  # type: ignore[union-attr]


def test_a_correction_judges_a_failed_proof_anew(book: Rulebook) -> None:
    """`change` after the verdict takes the verdict away: nothing of it is left."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, *FAILED)
    assert isinstance(controller.prompt, RunAgain)
    assert controller.state.proof_failed
    controller.change("pressure in the morning = 3.9")
    controller.change("tyre = hard")
    assert "proved" == kind(controller)
    assert not controller.state.proof_failed


def test_undo_opens_a_judged_proof_again(book: Rulebook) -> None:
    """With its last reading taken back, the proof asks for that reading."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, "done", "4", "3.9", "hard")
    assert "proved" == kind(controller)
    controller.undo()
    prompt = controller.prompt
    assert isinstance(prompt, AskFinding)
    assert "tyre" == prompt.finding.id


def test_readings_of_two_stages_are_never_set_against_each_other(book: Rulebook) -> None:
    """The evening before the repair and the morning after it cannot contradict each other."""
    controller, _ = sit(book)
    tell(controller, "no", "soft")
    controller.change("pressure in the evening = 1 bar")
    controller.change("bubbles at the valve = yes")
    assert isinstance(controller.prompt, ProposeRepair)
    tell(controller, "done")
    controller.change("pressure in the morning = 4 bar")
    assert () == controller.state.impossible
    controller.change("pressure in the evening = 3 bar")
    assert 1 == len(controller.state.impossible)


def test_the_end_lists_every_repair_with_its_own_result(book: Rulebook) -> None:
    """After two repairs both are told, the first as it came out by its own proof."""
    controller, _ = sit(book)
    tell(controller, *TO_THE_REPAIR, "done", "4", "3.9", "soft", "soft")
    while not isinstance(prompt := controller.prompt, Closing):
        if isinstance(prompt, ProposeRepair):
            tell(controller, "done")
        elif isinstance(prompt, RunAgain):
            tell(controller, "other")
        else:
            answers = {"thorn": "no" if controller.state.in_proof else "yes", "tyre": "hard"}
            assert isinstance(prompt, AskFinding)
            tell(controller, answers.get(prompt.finding.id, "4"))
    said = shown(controller)
    assert "The valve leaks: made and holds; the complaint went on." in said
    assert "made, holds, and cured it." in said
