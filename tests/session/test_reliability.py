"""How far a sign can be relied on: one model for what is weighed and what is planned."""

from __future__ import annotations

from pathlib import Path

from diag.model.quantity import quantity
from diag.rulebook import load_rulebook
from diag.session.candidates import candidate_checks
from diag.session.journal.events import Answered
from diag.session.state import SessionState

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"
EVENING, MORNING = "pressure in the evening", "pressure in the morning"


def test_a_check_is_planned_with_the_reliability_that_its_answers_then_have() -> None:
    """A loss overnight rests on two readings of a gauge, and is as sure as the weaker of them."""
    book = load_rulebook([BICYCLE], {})
    state = SessionState(book, book.units["town bicycle"], "goes flat")
    planned = {one.check.id: one.signs for one in candidate_checks(state)}["overnight gauge"]
    for name, bar in ((EVENING, 4), (MORNING, 1)):
        state.apply(Answered(name, quantity(bar, "bar"), book.findings[name].how))
    weighed = {one.sign: one.reliability for one in state.evidence()}
    trust = book.scales.reliability[book.findings[EVENING].how]
    assert planned == {sign: weighed[sign] for sign in planned}
    assert trust == weighed["overnight loss"]
