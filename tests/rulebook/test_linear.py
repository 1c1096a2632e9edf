"""What is read takes time in step with its length, however odd it is: no pattern runs back."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress

import pytest

from diag.model.amounts import AMOUNT_IN_TEXT, amount, count, meter_error, unit_spelt
from diag.model.quantity import UNITS
from diag.rulebook.language.clauses import condition
from diag.rulebook.language.grammar import placed_condition, placed_term
from diag.rulebook.language.tokens import why_no_id

LENGTH = 16_000
TEXTS = {
    "blanks": "volts{}> 12 V",
    "blanks ahead": "{}volts > 12 V",
    "blanks behind": "volts > 12 V{}",
    "blanks in a number": "volts > 12{}V",
    "blanks at a state": "panel is{}lit",
    "blanks in a list": "panel is one of lit,{}dark",
    "blanks alone": "{}",
}
FILLED = {" ": " ", "tab": "\t", "digit": "1", "letter": "a", "comma": ",", "hyphen": "-"}


def refused_or_read(read: Callable[[str], object], text: str) -> float:
    """Return the processor time of reading a text, right or wrong."""
    began = time.process_time()
    with suppress(ValueError):
        read(text)
    return time.process_time() - began


@pytest.mark.parametrize("read", [condition, placed_condition, placed_term, why_no_id])
@pytest.mark.parametrize("fill", FILLED)
@pytest.mark.parametrize("text", TEXTS)
def test_conditions_are_read_in_step_with_their_length(
    text: str, fill: str, read: Callable[[str], object]
) -> None:
    """16,000 of one letter anywhere in a condition are read or refused in a moment."""
    assert refused_or_read(read, TEXTS[text].format(FILLED[fill] * LENGTH)) < 0.5


@pytest.mark.parametrize(
    "read",
    [
        amount,
        lambda text: amount(text, UNITS["ohm"]),
        count,
        unit_spelt,
        lambda text: meter_error(text, UNITS["V"]),
        lambda text: list(AMOUNT_IN_TEXT.finditer(text)),
    ],
    ids=["amount", "resistance", "count", "unit", "meter", "in a text"],
)
@pytest.mark.parametrize("fill", [*FILLED.values(), "1,", "1.", "o", "open ", "- "])
def test_numbers_are_read_in_step_with_their_length(
    fill: str, read: Callable[[str], object]
) -> None:
    """However long a typed number or unit is, it is read or refused in a moment."""
    for text in ("{}", "1{}V", "{}V", "-{}"):
        assert refused_or_read(read, text.format(fill * LENGTH)) < 0.5
