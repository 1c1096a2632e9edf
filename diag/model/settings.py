"""The shop's own numbers, and the words of rule files as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

from diag.model.frozen import frozen


@frozen
class Settings:
    """Numbers of a rulebook, each under its words in `settings`; unsaid, it keeps its default.

    The words of a field are its name with blanks: see `WORDS`. Odds are against nothing wrong,
    chances are from 0 to 1.
    """

    odds_of_the_unknown: float = 0.05
    """Odds of something that the rulebook does not know."""
    complaint_anyway: float = 0.05
    """Chance of the complaint under a cause that does not list it."""
    nothing_wrong: float = 0.02
    """Chance of the complaint with nothing wrong."""
    complaint_of_the_unknown: float = 0.5
    """Chance of the complaint under something that the rulebook does not know."""
    repair_fails: float = 0.05
    """Chance that a proof fails although all that was wrong has been repaired."""
    shows_again: float = 0.9
    """Chance that a sign goes on showing what it showed, unless the repair took it away."""
    found_at: float = 0.8
    """Probability from which on a cause is called found."""
    failed_repair_minutes: float = 0.0
    """Minutes that a failed repair costs beyond its own minutes and parts."""
    fault_missed_minutes: float = 0.0
    """Minutes that it costs to send a unit back as sound which is not."""
    proof_run_minutes: float = 10.0
    """Minutes of the run that proves a repair."""
    hand_over_minutes: float = 600.0
    """Minutes that it costs to hand a unit on unsolved."""
    price_of_waiting: float = 1.0
    """What a minute of waiting costs, in minutes of work."""
    longest_wait_minutes: float = 60.0
    """The longest wait in the middle of the work: a longer one comes after all else."""
    record_strength: float = 20.0
    """How many proved repairs of the record the shares in the rules are worth."""
    repaired_lately: float = 0.3
    """What the odds of a cause are multiplied by right after a repair of it that was proved."""
    repair_not_held: float = 3.0
    """What the odds of a cause are multiplied by right after a repair of it that did not hold."""
    lately_weeks: float = 26.0
    """Weeks after which an earlier repair tells half as much."""

    @classmethod
    def of_words(cls, words: Mapping[str, float]) -> Settings:
        """Return the settings that a rulebook's words give; `KeyError` for one that is none.

        >>> Settings.of_words({"found at": 0.85}).found_at
        0.85
        """
        return cls(**{SETTING_WORDS[word]: value for word, value in words.items()})


SETTING_WORDS: Mapping[str, str] = {
    each.name.replace("_", " "): each.name for each in fields(Settings)
}
"""Words of a rule file to the field that they set."""
CHANCES = frozenset(name for name in SETTING_WORDS if not name.endswith("minutes")) - {
    "odds of the unknown", "record strength", "repair not held", "lately weeks"
}  # fmt: skip
"""Those that are a chance, and so at most 1."""


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
