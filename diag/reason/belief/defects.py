"""Defects in plain sight: causes that a look has shown, so that nothing explains them away.

A belief is then conditional on them: each hypothesis is the defects seen, and what else is wrong.
That a look and not a weighing decides this, up to the reliability of the look, is an idea of ours.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

from diag.reason.belief.evidence import Evidence, EvidenceKey
from diag.reason.belief.links import Links

DOUBTED = 0.5
"""A reading that is as likely wrong as right, as one of two that cannot both be, shows nothing."""


def is_sight(evidence: Evidence) -> bool:
    """Tell whether a reading is of what somebody here saw or measured, and not in doubt."""
    return not evidence.hearsay and evidence.reliability > DOUBTED


def defect_of(evidence: Evidence, links: Links) -> int | None:
    """Return the index of the cause that a reading shows in plain sight, if it does."""
    if not is_sight(evidence):
        return None
    return links.table(evidence.sign).defects.get(evidence.state)


def in_sight(
    inside: Mapping[EvidenceKey, Evidence],
    links: Links,
    mended_before: Callable[[int], Collection[int]],
) -> dict[int, float]:
    """Return the causes in plain sight, by index, and how far the looks that show each hold.

    `inside` is in order of stage. Of each sign the latest look counts, of those before the repair
    of what it shows: only that takes a defect back.
    """
    shown: dict[str, dict[int, float]] = {}
    showing = [one for one in inside.items() if one[0][1] in links.defective]
    for (stage, sign), evidence in showing:
        mended = mended_before(stage)
        found = shown.setdefault(sign, {})
        for earlier in [one for one in found if one not in mended]:
            del found[earlier]
        cause = defect_of(evidence, links)
        if cause is not None and cause not in mended:
            found[cause] = evidence.reliability
    seen: dict[int, float] = {}
    for found in shown.values():
        for cause, trust in found.items():
            seen[cause] = 1 - (1 - seen.get(cause, 0.0)) * (1 - trust)
    return dict(sorted(seen.items()))
