"""What a meter shows for more than it can: a reading above every number, told in words."""

from __future__ import annotations

import json
import math
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.logic.evaluate import evaluate
from diag.model.amounts import NotAnAmount, amount
from diag.model.expression import Compare, Literal, Ref
from diag.model.quantity import UNITS, Quantity, quantity
from diag.model.rulebook import Figure, Finding
from diag.rulebook import parse_answer, read_readings
from diag.rulebook.language import grammar
from diag.session.journal.events import Answered, as_record, from_record

SPAN = (quantity(0, "ohm"), quantity(1, "Mohm"))
OHMS = Finding("ohms", "How?", "quantity", "", unit=UNITS["ohm"], believable=SPAN)
BOOK: Any = SimpleNamespace(findings={"ohms": OHMS})
OVER = (
    "OL",
    "ol",
    "O.L",
    "0L",
    "0.L Mohm",
    "open",
    "Open circuit",
    "over range",
    "overload",
    "1 .",
)


@pytest.mark.parametrize("text", OVER)
def test_what_a_meter_shows_for_no_passage(text: str) -> None:
    """A resistance over range is an answer above every number, and never past belief."""
    value = parse_answer(text, OHMS)
    assert isinstance(value, Quantity)
    assert math.inf == value.si
    assert value == read_readings(f"ohms: {text}", "readings", BOOK)["ohms"]


@pytest.mark.parametrize("text", OVER[:4])
def test_over_range_is_no_voltage(text: str) -> None:
    """Volts over range say that the range was too small, not what the volts are."""
    with pytest.raises(NotAnAmount) as found:
        amount(text, UNITS["V"])
    assert str(found.value) == (
        f"`{text}` is more than the meter shows on its range; turn it to a higher range and read "
        "it again"
    )


class _Held:
    """Shows one reading to a condition."""

    def __init__(self, held: Quantity) -> None:
        self.held = held

    def value(self, name: str) -> Quantity:
        return self.held

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset()

    def figure(self, name: str) -> Figure | None:
        return None


@given(st.floats(0, 1e12))
def test_over_range_lies_above_every_number(ohms: float) -> None:
    """Every rule `> N` is true of it and every `<= N` false, but no sum is made of it."""
    over = _Held(amount("OL", UNITS["ohm"]))
    limit = Literal(Quantity(ohms, UNITS["ohm"]))
    assert evaluate(Compare(">", Ref("x"), limit), over).truth is True
    assert evaluate(Compare("<=", Ref("x"), limit), over).truth is False
    sum_of_it = grammar.term("x - 1 ohm")
    assert evaluate(Compare(">", sum_of_it, limit), over).truth is None


def test_over_range_is_told_and_stored_in_words() -> None:
    """It is shown as `over range`, and goes into a journal and back without an infinity."""
    event = Answered("x", amount("OL", UNITS["kohm"]), "measured")
    kind, payload = as_record(event)
    text = json.dumps(payload, allow_nan=False)
    assert "over range" in text
    assert event == from_record(kind, json.loads(text))
    assert "over range" == str(event.value)
