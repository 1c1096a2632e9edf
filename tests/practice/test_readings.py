"""What people put down of a meter: no less than nothing, and nothing that nobody believes."""

from __future__ import annotations

import pytest

from diag.model.quantity import Quantity
from diag.practice.readings import as_value
from diag.workshop.data.findings import MeasuredFinding
from tests.practice.settings import shipped


def put_down(finding: str, read: float) -> object:
    told = shipped().files.findings[finding]
    assert isinstance(told, MeasuredFinding)
    value = as_value(read, told, shipped().book, finding)
    return value.unit.from_si(value.si) if isinstance(value, Quantity) else value


@pytest.mark.parametrize(
    ("finding", "read", "expected"),
    [
        ("volts at the heater at rest", -0.02, 0.0),
        ("volts at the heater at rest", 0.02, 0.02),
        ("volts at the heater at rest", -12.6, None),
        ("amps while igniting", -0.04, 0.0),
        ("carbon monoxide in the cabin", -1.0, 0.0),
        ("flash count", 12.0, "12"),
    ],
)
def test_a_meter_a_hair_below_nothing_is_put_down_as_nothing(
    finding: str, read: float, expected: object
) -> None:
    """Within the meter's own error of what is believed its end is written, further off nothing."""
    assert expected == (
        pytest.approx(put_down(finding, read))
        if isinstance(expected, float)
        else put_down(finding, read)
    )
