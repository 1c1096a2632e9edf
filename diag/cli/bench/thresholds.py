"""The limits of the trade that come with the program, without the rest of its rules."""

from __future__ import annotations

from collections.abc import Mapping

from diag.cli.places import shipped_rules
from diag.model.threshold import Threshold
from diag.rulebook import load_thresholds


def shipped_thresholds() -> Mapping[str, Threshold]:
    """Return the thresholds by name; raises `ProblemsFound` for a file that cannot be read."""
    return load_thresholds(shipped_rules())
