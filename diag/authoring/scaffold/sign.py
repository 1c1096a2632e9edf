"""The file of a new sign."""

from __future__ import annotations

from diag.authoring.scaffold.names import DRAFT, listed, word
from diag.model.rulebook import Rulebook


def sign_lines(rulebook: Rulebook, sign: str, area: str) -> list[str]:
    """Return the lines of a sign's file, with two states and a rule for each."""
    scales = rulebook.scales
    leak = word(scales.anyway, 0.02)
    return [
        "# What rules conclude from readings. Then show it in a cause, or nothing comes of it.",
        DRAFT,
        "source: <of its numbers, published in ... or common practice or memory or invented>",
        "signs:",
        f"  {sign}:    # its id, in plain lower-case words",
        "    title: <What it is, in a few words>",
        "    states: [good, poor]    # the first is as it should be",
        f"    # How often a poor state shows with no fault behind it: {listed(scales.anyway)}.",
        f"    # shows anyway: {{poor: {leak}}}",
        "    # A state that is a fault in plain sight, and the one cause that it is.",
        "    # is: {poor: a cause}",
        "    # When one of these is known, this sign makes it redundant: one fact counts once.",
        "    # supersedes: [another sign]",
        "    # counts beside: {a third sign: why the two are two facts though read alike}",
        "    rules:",
        "      - when: <condition, such as volts at rest >= 12.7 V>",
        "        then: good",
        "      - when: <condition, such as volts at rest < 12.7 V>",
        "        then: poor",
        "        why: <what it means, to follow `because`>",
        "    # In place of rules: a choice finding with the same states,",
        "    # taken from: another finding",
        "    # or a count that the unit's own code list turns into a state.",
        "    # looked up: flash count",
    ]
