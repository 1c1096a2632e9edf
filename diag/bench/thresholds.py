"""Limits of the trade as the bench reads them: the same data that the rules read."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.quantity import UNITS, Quantity
from diag.model.threshold import Threshold

Thresholds = Mapping[str, Threshold]
"""Limits by name, as rule files hold them."""


def threshold_value(
    thresholds: Thresholds, name: str, unit: str, data: Mapping[str, Quantity] | None = None
) -> float:
    """Return a limit as a number in `unit`, for a unit under test with these data.

    Raises `ValueError` for a name that no rule file holds.
    """
    if name not in thresholds:
        raise ValueError(f"there is no threshold `{name}`: add it to `thresholds.yaml`")
    return thresholds[name].at(data or {}).into(UNITS[unit]).value
