"""The checks that all work on a unit begins with: the look for danger, then the cheap looks."""

from __future__ import annotations

from diag.model.rulebook import Check, Rulebook


def danger_checks(rulebook: Rulebook) -> tuple[Check, ...]:
    """Return the checks that look for danger before anything else."""
    asked, checks = rulebook.asked_first, rulebook.checks.values()
    return tuple(one for one in checks if asked.intersection(one.yields) and not one.held_back)


def opening(rulebook: Rulebook, complaint: str) -> tuple[str, ...]:
    """Return what every session on a complaint begins with: danger, then its looks, by id."""
    dangers = (check.id for check in danger_checks(rulebook))
    return tuple(dict.fromkeys((*dangers, *rulebook.complaints[complaint].intake)))
