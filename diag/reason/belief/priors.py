"""What is believed before anything is known of a unit, as numbers.

The leak of Henrion, "Practical issues in constructing a Bayes belief network" (1988), for what no
known cause explains; a hypothesis of something not in the rulebook is an idea of ours.
"""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.model.settings import Settings

USUAL = Settings()


@frozen
class Priors:
    """The numbers that belief needs besides the causes' own."""

    unknown_odds: float = USUAL.odds_of_the_unknown
    """Odds of something that the rulebook does not know, against nothing wrong."""
    complaint_leak: float = USUAL.complaint_anyway
    """Chance of the complaint under a cause that does not list it."""
    complaint_nothing: float = USUAL.nothing_wrong
    """Chance of the complaint with nothing wrong."""
    complaint_unknown: float = USUAL.complaint_of_the_unknown
    """Chance of the complaint under something that the rulebook does not know."""
    repair_fails: float = USUAL.repair_fails
    """Chance that a proof fails although all that was wrong has been repaired."""
    sign_persistence: float = USUAL.shows_again
    """Chance that a sign goes on showing what it showed, unless the repair took it away."""

    @classmethod
    def from_settings(cls, settings: Settings) -> Priors:
        """Take the priors out of a rulebook's settings.

        >>> Priors.from_settings(Settings(repair_fails=0.1)).repair_fails
        0.1
        """
        return cls(
            settings.odds_of_the_unknown,
            settings.complaint_anyway,
            settings.nothing_wrong,
            settings.complaint_of_the_unknown,
            settings.repair_fails,
            settings.shows_again,
        )
