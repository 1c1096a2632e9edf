"""What the shipped rules say of measuring: complete, and true to their own limits."""

from __future__ import annotations

import pytest

from diag.cli.book import load_book
from diag.model.rulebook import Rulebook
from diag.session.proof.good import what_is_good

DRAWN = (
    "drop along the negative cable",
    "drop along the positive cable",
    "volts at the terminals while igniting",
    "glow plug resistance cold",
    "fuel from 100 pulses",
    "air speed at the outlet",
    "lamp at the pump connector",
    "oxygen in the exhaust",
    "amps while igniting",
    "short behind the fuse",
)

LIMITS = [
    # cut-off 10.5 V and 0.5 V above it; 21 V and 1 V on 24 V
    ("small 12 V", "volts at the terminals while igniting", "11 V or more (class value)"),
    ("small 24 V", "volts at the heater while igniting", "22 V or more (class value)"),
    # 3 % of the nominal voltage, which is no class value
    ("small 12 V", "drop along the negative cable", "0.36 V or less"),
    ("small 24 V", "drop along the positive cable", "0.72 V or less"),
    # 75 % and 125 % of 9.5 A: 7.125 A and 11.875 A
    ("small 12 V", "amps while igniting", "7.13 A to 11.8 A (class value)"),
    # 85 % and 115 % of 2.2 ml
    ("small 12 V", "fuel from 100 pulses", "1.87 ml to 2.53 ml (class value)"),
    ("small 12 V", "standby amps", "0.1 mA to 90 mA (class value)"),
    ("small 12 V", "glow plug resistance cold", "0.3 ohm to 0.9 ohm (class value)"),
    ("small 12 V", "carbon monoxide in the cabin", "5 ppm or less"),
    ("small 12 V", "carbon monoxide at the outlet", None),
    ("small 12 V", "fuse rating", None),
    ("small 12 V", "air at the outlet", None),
    ("small 12 V", "drop across single joints", "less than 0.1 V across every one"),
]
"""Unit, finding and what is good, by hand from unit files and rules."""


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_book()


@pytest.mark.parametrize("finding", DRAWN)
def test_what_matters_most_is_drawn(book: Rulebook, finding: str) -> None:
    """The ten readings that go wrong most have a drawing, and words that tell the same."""
    how = book.findings[finding].measure
    assert how is not None
    assert 38 >= max(map(len, how.drawing))
    assert how.in_words


@pytest.mark.parametrize(("unit", "finding", "expected"), LIMITS)
def test_what_is_good_is_as_worked_out_by_hand(
    book: Rulebook, unit: str, finding: str, expected: str | None
) -> None:
    """By hand from the unit's data and the limits in the rules, each rounded inwards."""
    assert expected == what_is_good(book, book.units[unit], finding)


def test_every_measured_number_has_a_limit_or_words(book: Rulebook) -> None:
    """Nobody is left with a number and no idea whether it is good."""
    unit = book.units["small 24 V"]
    bare = [
        name
        for name, one in book.findings.items()
        if one.measure and not one.measure.good and what_is_good(book, unit, name) is None
    ]
    assert [] == bare
