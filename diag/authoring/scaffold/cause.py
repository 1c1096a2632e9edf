"""The file of a new cause."""

from __future__ import annotations

from diag.authoring.scaffold.names import listed
from diag.model.rulebook import Rulebook, Sign


def cause_lines(rulebook: Rulebook, cause: str, area: str) -> list[str]:
    """Return the lines of a cause's file.

    The sign and the complaint are ones that the rulebook knows, there to be replaced. Raises
    `ValueError` when it knows no sign or complaint at all.
    """
    if not rulebook.signs or not rulebook.complaints:
        raise ValueError("these rules know no sign or no complaint yet; write those first")
    return [*_head(rulebook, cause, area), *_evidence(rulebook), *_repair(rulebook)]


def _head(rulebook: Rulebook, cause: str, area: str) -> list[str]:
    return [
        "# One fault, one file. Read it aloud: if it sounds wrong, it is.",
        f"cause: {cause}    # its id: plain lower-case words, the same as the file's name",
        f"title: {cause.capitalize()}    # as a heading",
        f"area: {area}    # the same as the folder; so far: {listed(rulebook.areas)}",
        "# draft: read by `diag rules check` only; trial: in use, with a case; proven: with three",
        "status: draft",
        f"share: <how common>    # {listed(rulebook.scales.share)}",
        "source: <published in ... or common practice or memory or invented>",
        "no fault: no    # yes where the unit is sound, and its use or the weather explains it",
    ]


def _evidence(rulebook: Rulebook) -> list[str]:
    sign = _example(rulebook)
    sound, state = sign.states[0], sign.states[1]
    complaint = next(iter(rulebook.complaints))
    return [
        "# How likely each complaint is when this is the cause; together below 1.",
        f"# Words for how likely: {listed(rulebook.scales.likelihood)}",
        f"complaints: {{{complaint}: <how likely>}}    # {listed(rulebook.complaints)}",
        "explain: <What goes wrong and why, in two or three sentences.>",
        "# Sign, then its states, each with how likely this cause shows it; together below 1.",
        f"# `{sound}` is as `{sign.id}` should be, so that no cause shows it.",
        "shows:",
        f"  {sign.id}: {{{state}: <how likely>}}",
        "# Two signs or more of variants, of which a unit has one: one sound rules nothing out.",
        f"# any of: [{sign.id}, another sign]",
        "# How likely it shows at any one look, and the signs that bring it out at full strength.",
        f"# comes and goes: <how likely>    # {listed(rulebook.scales.likelihood)}",
        f"# brought out by: [{sign.id}]",
        "# What speaks strongly against this cause: sign, then states.",
        "# must not show:",
        f"#   {sign.id}: [{sound}]",
        "# Another cause that looks alike, and the sign or finding that tells the two apart.",
        "# confused with: {another cause: a sign}",
        "# Only for what physics forbids: a condition that rules this cause out for good.",
        "# rules out when:",
        f"#   - {{when: {sign.id} is {sound}, why: say what law it would break}}",
    ]


def _repair(rulebook: Rulebook) -> list[str]:
    scales = rulebook.scales
    sign = _example(rulebook)
    part = next(iter(scales.parts), "none")
    return [
        "repair:",
        "  do:    # the steps in order",
        "    - <Each step is a whole sentence.>",
        "  minutes: <how long it takes>",
        "  # waits: 15 min    # in which nobody need be there",
        "  # there: vehicle    # what must be to hand beside the unit",
        f"  parts: {{}}    # such as {{battery: {part}}}; {listed(scales.parts)}",
        f"  access: {next(iter(scales.access), 'ask')}    # {listed(scales.access)}",
        f"  needs: []    # {listed(scales.needs)}",
        f"  acts: []    # what making it does, which a danger may forbid: {listed(rulebook.acts)}",
        "  # Other causes that go with it, as those of a part that is replaced.",
        "  # mends as well: [another cause]",
        "  # Who may do this work, where that is not anybody's: a sentence.",
        "  # licensed: This is work for a licensed fitter.",
        "# What must hold in the run after the repair: conditions. They show that this repair",
        "# holds; that the complaint is gone is for the complaint's own proof.",
        "proof:",
        f"  - <condition, such as {sign.id} is {sign.states[0]}>",
        f"cautions: []    # {listed(rulebook.cautions)}",
        "tell the owner: <What was found and done, in a sentence or two.>",
    ]


def _example(rulebook: Rulebook) -> Sign:
    """Return the sign that most causes show: the likeliest to be wanted."""
    shown = [sign for cause in rulebook.causes.values() for sign in cause.shows]
    return max(rulebook.signs.values(), key=lambda sign: shown.count(sign.id))
