"""What is believed before anything is known of a unit, as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Priors:
    """The numbers that belief needs besides the causes' own."""

    unknown_odds: float = 0.05
    """Odds of something that the rulebook does not know, against nothing wrong."""
    complaint_leak: float = 0.05
    """Chance of the complaint under a cause that does not list it."""
    complaint_nothing: float = 0.02
    """Chance of the complaint with nothing wrong."""
    complaint_unknown: float = 0.5
    """Chance of the complaint under something that the rulebook does not know."""
    repair_fails: float = 0.05
    """Chance that a proof fails although all that was wrong has been repaired."""
    sign_persistence: float = 0.9
    """Chance that a sign goes on showing what it showed, unless the repair took it away."""

    @classmethod
    def from_settings(cls, settings: Mapping[str, float]) -> Priors:
        """Read the priors from a rulebook's settings; what is not set keeps its default.

        Keys: `odds of the unknown`, `complaint anyway`, `nothing wrong`, `complaint of the
        unknown`, `repair fails`, `shows again`, in the order of the fields above.

        >>> Priors.from_settings({"repair fails": 0.1}).repair_fails
        0.1
        """
        usual = cls()
        return cls(
            settings.get("odds of the unknown", usual.unknown_odds),
            settings.get("complaint anyway", usual.complaint_leak),
            settings.get("nothing wrong", usual.complaint_nothing),
            settings.get("complaint of the unknown", usual.complaint_unknown),
            settings.get("repair fails", usual.repair_fails),
            settings.get("shows again", usual.sign_persistence),
        )
