"""What a player of the judge has with him: places that he reaches, and tools.

Only checks are barred by it, which are then passed over as `cannot`; a repair is done, if need be
later in the workshop. Tools that lie at hand in any van are in no list of the rules' costs.
"""

from __future__ import annotations

from dataclasses import dataclass

from diag.model.rulebook import Check, Rulebook

BY_PHONE = frozenset({"ask", "at the controls"})
ON_THE_ROAD = BY_PHONE | {"at the heater", "cover off"}


@dataclass(frozen=True, slots=True)
class Profile:
    """Hold where a player gets to and what else than hand tools he has; None is all there is."""

    places: frozenset[str] | None = None
    tools: frozenset[str] | None = None
    hand_tools: bool = True

    def can(self, check: Check, book: Rulebook) -> bool:
        """Say whether a check can be done with it."""
        if self.places is not None and check.access not in self.places:
            return False
        if self.tools is None:
            return True
        fetched = {tool for tool in check.tools if tool in book.scales.tools}
        by_hand = frozenset(check.tools) - fetched
        return self.tools >= fetched and (self.hand_tools or self.tools >= by_hand)


PROFILES = {
    "full": Profile(),
    "multimeter": Profile(tools=frozenset({"fused test lead", "long test lead"})),
    "roadside": Profile(ON_THE_ROAD, frozenset({"fused test lead"})),
    "phone": Profile(BY_PHONE, frozenset({"lamp", "stopwatch", "paper", "rag"}), hand_tools=False),
}
"""`multimeter`: every hand tool and the meter, but nothing that is dear or bulky; `roadside`: the
same without a bench, a can or a cylinder; `phone`: an owner at the controls, asked."""
