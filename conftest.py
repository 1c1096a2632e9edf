"""For examples in docstrings of `diag.workshop`: `small`, a sound unit of 2 kW on 12 V."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.fixture(autouse=True)
def _small_unit(request: pytest.FixtureRequest, doctest_namespace: dict[str, Any]) -> None:
    """Make the unit for examples alone: no other test waits for it."""
    if request.node.name.startswith("diag.workshop"):
        from tests.workshop.shipped import new_units

        doctest_namespace["small"] = new_units()["small 12 V"]
