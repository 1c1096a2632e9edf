"""A formula told as plain data: what a rule file has to give it, and what it gives back."""

from __future__ import annotations

from typing import Any

from diag.model.expression import Formula


def as_plain(formula: Formula) -> dict[str, Any]:
    """Return a formula's name, inputs and result with their unit symbols, sense and source."""
    return {
        "formula": formula.name,
        "explains": formula.explains,
        "takes": [{"input": name, "unit": unit} for name, unit in formula.inputs],
        "unit": formula.unit,
        "source": formula.source,
    }
