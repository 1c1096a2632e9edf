"""The file of a new worked case."""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.scaffold.names import listed
from diag.model.rulebook import Rulebook


def case_lines(rulebook: Rulebook, case: str, area: str) -> list[str]:
    """Return the lines of a case's file: what every check would show, sound until changed.

    Raises `ValueError` when the rulebook knows no unit or no complaint.
    """
    if not rulebook.units or not rulebook.complaints:
        raise ValueError("these rules know no unit or no complaint yet; write those first")
    return [
        "# What every check would show on one unit, and what was wrong with it.",
        "source: <invented, or where it was met>",
        "cases:",
        f"  {case}:    # its name, as you would label it",
        f"    unit: {next(iter(rulebook.units))}    # {listed(rulebook.units)}",
        "    complaint: <what the owner says>",
        f"    # {listed(rulebook.complaints)}",
        "    truth: [<id of a cause>]    # two where two were wrong, [] where nothing was",
        "    # Reasons to stop work that it must raise.",
        f"    # {_dangers(rulebook)}",
        "    # Readings that are planted wrong, to be suspected.",
        "    # wrong: [a finding]",
        "    # Readings that the owner tells without being asked.",
        "    # told: [a finding]",
        "    # What reads otherwise once a cause of its truth is repaired.",
        "    # after: {a cause: {a finding: its answer then}}",
        "    # The checks of the shortest way to the truth, in order.",
        "    # path: [a check]",
        "    # note: where the boundary lies that this case tries",
        "    # Each reading as one would type it. What stands here is a sound unit: change what",
        "    # the fault changes, write the numbers in and take the mark off their lines, and take",
        "    # out what nobody could tell.",
        "    shows:",
        *_readings(rulebook),
    ]


def _dangers(rulebook: Rulebook) -> str:
    return f"dangers: {listed(rulebook.dangers)}"


def _readings(rulebook: Rulebook) -> Iterator[str]:
    """Yield a line for each finding, in the order of the checks that yield them."""
    yielded = dict.fromkeys(name for check in rulebook.checks.values() for name in check.yields)
    for name in yielded:
        finding = rulebook.findings[name]
        if finding.states:
            yield f"      {name}: {finding.states[0]}    # or {listed(finding.states[1:])}"
        elif finding.believable:
            low, high = finding.believable
            yield f"      # {name}:    # {low} to {high}"
