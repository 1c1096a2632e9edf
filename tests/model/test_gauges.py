"""Wire gauges in and out, against the table of ASTM B258 (figures from memory)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.model.amounts import amount
from diag.model.quantity import UNITS, Quantity

B258 = {
    "4/0": (11.684, 107.2),
    "3/0": (10.404, 85.01),
    "2/0": (9.266, 67.43),
    "1/0": (8.251, 53.49),
    "1": (7.348, 42.41),
    "2": (6.544, 33.62),
    "12": (2.053, 3.309),
    "36": (0.127, 0.01267),
}
"""Gauge to diameter in mm and area in mm2."""
GAUGE = UNITS["AWG"]


@pytest.mark.parametrize("gauge", B258)
def test_a_gauge_is_read_and_written_as_it_is_marked(gauge: str) -> None:
    """What is typed as 2/0 is the table's area, and is shown as 2/0."""
    diameter, area = B258[gauge]
    for text in (f"{gauge} AWG", f"AWG {gauge}", f"{gauge}awg"):
        read = amount(text, UNITS["mm2"])
        assert area == pytest.approx(read.si * 1e6, rel=5e-4)
        assert diameter == pytest.approx(math.sqrt(read.si * 4 / math.pi) * 1e3, rel=5e-4)
        assert f"{gauge} AWG" == str(read)


@given(st.floats(-3, 56))
def test_no_area_is_shown_as_a_gauge_that_there_is_not(number: float) -> None:
    """Whatever an area shows as is read back as that area, and carries no minus sign."""
    shown = str(Quantity(GAUGE.to_si(number), GAUGE))
    assert "-" not in shown
    if "." not in shown or shown.endswith("mm2"):
        assert GAUGE.to_si(number) == pytest.approx(amount(shown, GAUGE).si, rel=1e-4)
