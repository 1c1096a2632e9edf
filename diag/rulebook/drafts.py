"""A rulebook without what is not ready to be used."""

from __future__ import annotations

from dataclasses import replace

from diag.model.rulebook import Rulebook


def without_drafts(rulebook: Rulebook) -> Rulebook:
    """Return the rulebook without its draft causes and the rules that rule one of them out.

    What only a draft rests on stays, and is never asked: it tells of nothing.
    """
    causes = {name: one for name, one in rulebook.causes.items() if one.status != "draft"}
    if len(causes) == len(rulebook.causes):
        return rulebook
    rules = tuple(
        rule for rule in rulebook.rules if rule.then.kind != "excluded" or rule.then.name in causes
    )
    return replace(rulebook, causes=causes, rules=rules)
