"""Free text is matched word by word, and nothing of it counts before it is confirmed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.free_text import complaint_in, listen

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


@pytest.mark.parametrize(
    ("text", "heard"),
    [
        ("soft tyre", [("tyre", "soft")]),
        ("pressure in the evening 4,5 bar", [("pressure in the evening", "4.5 bar")]),
        ("bubbles at the valve; tyres flat", [("bubbles at the valve", "yes"), ("tyre", "flat")]),
        ("pressure in the evening 4 V", []),
        ("pressure in the evening 40 bar", []),
        ("something else entirely", []),
        ("there aren't any bubbles at the valve", [("bubbles at the valve", "no")]),
        ("the tyre is not soft", [("tyre", "None")]),
        ("", []),
    ],
)
def test_words_name_findings(book: Rulebook, text: str, heard: list[tuple[str, str]]) -> None:
    """A piece names a finding where all words of one of its names stand in it."""
    assert heard == [(one.finding.id, str(one.value)) for one in listen(text, book)]


def test_a_name_without_an_answer_is_heard_as_a_question(book: Rulebook) -> None:
    """Where the words do not say which answer, none is guessed."""
    assert [("tyre", None)] == [(one.finding.id, one.value) for one in listen("the tyre", book)]


def test_a_complaint_is_found_in_the_owners_words(book: Rulebook) -> None:
    """The owner's own words name the complaint."""
    assert complaint_in("my bicycle loses air all the time", book) == "goes flat"
    assert complaint_in("it squeaks", book) == ""


def test_of_two_complaints_the_one_said_first_counts(book: Rulebook) -> None:
    """Where as many words speak for each, what the owner said first is the complaint."""
    late = replace(book.complaints["goes flat"], id="late", title="Late", words=("comes late",))
    both = replace(book, complaints={**book.complaints, "late": late})
    assert "late" == complaint_in("he comes late, and it loses air", both)
    assert "goes flat" == complaint_in("it loses air, and he comes late", both)
