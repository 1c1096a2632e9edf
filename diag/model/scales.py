"""The words of rule files as numbers, and the shop's own numbers."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen
from diag.model.settings import Settings


@frozen
class Scales:
    """The words that rule files use instead of decimals, and the shop's own numbers."""

    likelihood: Mapping[str, float]
    share: Mapping[str, float]
    anyway: Mapping[str, float]
    parts: Mapping[str, float]
    reliability: Mapping[str, float]
    access: Mapping[str, float]
    needs: Mapping[str, float]
    tools: Mapping[str, float]
    """Minutes to fetch a tool; one that is not here lies at hand."""
    settings: Settings
