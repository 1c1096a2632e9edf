"""When to look once more, when to repair, and when to end: one rule for session, tree and bench.

The thresholds are an idea of ours: a plan says what costs least, not when to call a cause found.
"""

from __future__ import annotations

from collections.abc import Container

from diag.model.frozen import frozen
from diag.model.settings import Settings
from diag.reason.belief.posterior import Posterior
from diag.reason.plan.choose import Choice
from diag.reason.plan.decision_problem import NOTHING, UNKNOWN

SURE = 0.97
"""Above this no further check is worth its minutes, whatever it costs."""
LIKELY_ENOUGH = 0.5
"""Below this part of `found at` a repair is proposed only where no check can change anything."""


@frozen
class Verdict:
    """What to do: a `check`, a `repair`, to `run again` after a proof that failed, or to end with
    `nothing-wrong` or `unknown`."""

    kind: str
    name: str
    """The check, or the explanation that is acted on."""
    share: float
    """The probability of that explanation, or of the likeliest where a check is done."""
    found: bool
    """Whether it is likely enough to be called found."""


def verdict(
    posterior: Posterior,
    choice: Choice,
    settings: Settings,
    declined: Container[str] = (),
    proof_failed: bool = False,
) -> Verdict:
    """Return what to do next, going by the planner's choice.

    A repair is done when it is the best act and likely enough, or sure. Less likely, it waits for
    checks that may still change what seems to be wrong. After a proof that failed, the unit is
    not sound, whatever else is believed; where all may be mended and another run costs least, it
    is run again. `settings` are the rulebook's.
    """
    enough = settings.found_at
    name, share = leading(posterior, declined, proof_failed)
    best = choice.best
    if best.name == NOTHING and proof_failed:
        return Verdict("run again", NOTHING, posterior.nothing, False)
    if best.kind == "check" and not (share >= SURE and name != UNKNOWN):
        return Verdict("check", best.name, share, share >= enough)
    own = posterior.causes.get(best.name, 0.0)
    if best.kind == "repair" and own >= LIKELY_ENOUGH * enough:
        return Verdict("repair", best.name, own, own >= enough)
    # A cause may be likelier than what leads: one whose repair was turned down.
    sound = name == NOTHING and share >= posterior.ranking[0][1]
    if choice.telling and share < enough and not (sound and best.name == NOTHING):
        return Verdict("check", choice.telling, share, False)
    if sound:
        return Verdict("nothing-wrong", name, share, share >= enough)
    if best.kind == "stop" or not (own or name in posterior.causes):
        return Verdict("unknown", name, share, False)
    name, share = (best.name, own) if own else (name, share)
    return Verdict("repair", name, share, share >= enough)


def leading(
    posterior: Posterior, declined: Container[str] = (), proof_failed: bool = False
) -> tuple[str, float]:
    """Return the likeliest explanation that was not turned down, and its probability."""
    candidates = [item for item in posterior.ranking if item[0] not in declined][:1]
    candidates += [] if proof_failed else [(NOTHING, posterior.nothing)]
    candidates += [(UNKNOWN, posterior.unknown)]
    return max(candidates, key=lambda item: item[1])
