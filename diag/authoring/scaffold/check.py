"""The file of a new check."""

from __future__ import annotations

from diag.authoring.scaffold.names import DRAFT, listed
from diag.model.rulebook import Rulebook


def check_lines(rulebook: Rulebook, check: str, area: str) -> list[str]:
    """Return the lines of a check's file, with the words of the rulebook's scales."""
    scales = rulebook.scales
    return [
        "# One act at the bench, and all that it tells.",
        DRAFT,
        "source: <of its minutes, published in ... or common practice or memory or invented>",
        "checks:",
        f"  {check}:    # its id, in plain lower-case words",
        "    do: <What to do, in one or two whole sentences.>",
        "    minutes: <how long it takes>",
        "    yields: [<id of a finding>]    # each finding that it tells, asked in this order",
        "    # What it costs besides.",
        f"    # access: {listed(scales.access)}",
        f"    # needs: {listed(scales.needs)}",
        "    # What has to be brought about again after it, as a run makes a cold unit warm.",
        f"    # undoes: {listed(scales.needs)}",
        f"    # tools: what is taken to hand; these cost minutes: {listed(scales.tools)}",
        "    # Readings that alone need one of the tools, where the rest can be had without.",
        "    # needed for: {clamp: another finding}",
        "    # Waiting beyond its minutes, and runs that it makes by itself.",
        "    # waits: 15 min",
        "    # uses: [burning]",
        "    # A run that other checks share: what is read in it is taken together.",
        "    # shares run: burning",
        "    # Who or what must be there, as profiles have it.",
        "    # there: owner",
        f"    # cautions: {listed(rulebook.cautions)}",
        f"    # What doing it does to the unit; a danger may forbid it: {listed(rulebook.acts)}",
        "    # acts: []",
        "    # Yes where, in a danger, it waits for a repair or until every other look is made.",
        "    # held back: no",
        "    # One question for several yes/no findings whose sound answer is no.",
        "    # asked together: Is any of these true?",
        "    # Only offered when this condition is true.",
        "    # possible when: another finding is good",
    ]
