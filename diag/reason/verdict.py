"""When to look once more, when to repair, and when to end: one rule for session, tree and bench."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass

from diag.reason.choose import NOTHING, UNKNOWN, Choice
from diag.reason.posterior import Posterior

SURE = 0.97
"""Above this no further check is worth its minutes, whatever it costs."""
LIKELY_ENOUGH = 0.5
"""Below this part of `found at` no repair is proposed, even where no check is left."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The likeliest explanation by name, its probability, and how much is enough to act on it."""

    name: str
    share: float
    enough: float

    @property
    def found(self) -> bool:
        """Return whether the explanation is likely enough to be called found."""
        return self.share >= self.enough

    def check(self, choice: Choice) -> str:
        """Return the check to do now; empty where it is time to repair or to end."""
        wants = choice.best.kind == "check" and self.share < SURE
        return choice.best_check if wants or not self.found else ""

    @property
    def ending(self) -> str:
        """Return what follows where no check does: `repair`, `nothing-wrong` or `unknown`."""
        if self.name == NOTHING:
            return "nothing-wrong"
        if self.name == UNKNOWN or self.share < LIKELY_ENOUGH * self.enough:
            return "unknown"
        return "repair"


def standing(
    posterior: Posterior,
    settings: Mapping[str, float],
    declined: Container[str] = (),
    proof_failed: bool = False,
) -> Standing:
    """Return where a belief stands; causes whose repair was `declined` are passed over.

    After a proof that failed, the unit is not sound, whatever else is believed. `settings` are the
    rulebook's; `found at` is 0.8 where they do not say.
    """
    candidates = [item for item in posterior.ranking if item[0] not in declined][:1]
    candidates += [] if proof_failed else [(NOTHING, posterior.nothing)]
    candidates += [(UNKNOWN, posterior.unknown)]
    name, share = max(candidates, key=lambda item: item[1])
    return Standing(name, share, settings.get("found at", 0.8))
