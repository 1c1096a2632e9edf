"""The file of a new finding."""

from __future__ import annotations

from diag.authoring.scaffold.names import DRAFT, listed, word
from diag.model.rulebook import Rulebook

MEASURE = (
    "    # Where it is measured: all that somebody needs who never did it. What is good by",
    "    # the rules is worked out, and not written here.",
    "    # measure:",
    "    #   with: Thermometer with a wire probe.",
    "    #   where: The tip in the middle of the outlet, not against its wall.",
    "    #   when: Ten minutes after it lit, until it stands still.",
    "    #   good: Warmer than the air that it takes in.    # only where no rule sets a limit",
    "    #   mistakes: [The tip touches metal and reads that instead.]",
    "    #   as for: another finding    # what is not said here is as for that one",
    "    #   drawing: |    # at most 38 characters wide, and the same `in words`",
    "    #     duct ===(tip)",
    "    #   in words: The tip stands in the mouth of the duct.",
)
"""What a measured finding says of how it is measured."""


def finding_lines(rulebook: Rulebook, finding: str, area: str) -> list[str]:
    """Return the lines of a finding's file, with what each kind of finding needs besides."""
    anyway = rulebook.scales.anyway
    return [
        "# Then write a check that yields it: diag rules new check ID --area AREA",
        DRAFT,
        "source: <of its numbers, published in ... or common practice or memory or invented>",
        "findings:",
        f"  {finding}:    # its id, in plain lower-case words",
        "    ask: <One question, as you would say it?>",
        "    kind: <quantity or count or choice or yes/no>",
        "    known by: <told or seen or measured>",
        "    # How one looks, in a short sentence or two.",
        "    # help: Look with a lamp, with the fan at rest.",
        *MEASURE,
        "    # words: [another name that people use for it]",
        "    # A quantity: the unit in which it is read, and what can be believed at all.",
        "    # unit: V",
        "    # believable: 0 V to 32 V",
        "    # A count: only what can be believed.",
        "    # believable: 0 to 20",
        "    # A choice: its states, the first as it should be, and what one sees of each.",
        "    # choices:",
        "    #   good: bright and tight",
        "    #   poor: loose, green or burnt",
        "    # lettered: no    # yes lists by letters, where a number could be taken for a code",
        "    # A yes/no: the answer of a sound unit.",
        "    # as it should be: no",
        f"    # Only where a cause shows it as it stands: {listed(anyway)}.",
        f"    # shows anyway: {{poor: {word(anyway, 0.02)}}}",
        "    # A state that is a fault in plain sight, and the one cause that it is.",
        "    # is: {poor: a cause}",
        "    # What went wrong with a reading that cannot be.",
        "    # slips:",
        f"    #   - {{when: {finding} > 20 V, say: was the meter on another range?}}",
        "    # Yes for a fact that no repair changes, as how long a thing is.",
        "    # fixed: no",
        "    # Only asked when this condition is true.",
        "    # asked when: another finding is good",
    ]
