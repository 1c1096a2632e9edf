"""A question of a session, as other programs see it."""

from __future__ import annotations

from diag import Session
from diag.library.question import question_of
from diag.model.rulebook import Rulebook
from diag.session.prompt import AskFinding


def test_a_question_says_how_it_is_measured(bread: Rulebook) -> None:
    """Label and text, with what is good on the unit; one that is not measured says nothing."""
    session = Session(bread)
    asked = question_of(session._controller.state, _asked(bread, "water temperature"))
    assert (
        ("with", "Kitchen thermometer."),
        ("where", "In the middle of the jug."),
        ("when", "Just before it is poured."),
        ("good", "50 C or less."),
        ("mistake", "The tap is measured and not the jug."),
    ) == asked.measure
    assert () == question_of(session._controller.state, _asked(bread, "skin")).measure


def _asked(book: Rulebook, finding: str) -> AskFinding:
    return AskFinding(book.findings[finding], None, True, "")
