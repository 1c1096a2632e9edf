"""Folders of rules to a rulebook that sessions can be held on."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from diag.logic.limits import broken_limits
from diag.model.expression import Formula
from diag.model.problem import ProblemsFound
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook


def load_rules(
    *folders: str | Path, formulas: Iterable[Formula] = (), drafts: bool = False
) -> Rulebook:
    """Read the rule files of the folders, later ones on top, except those under `cases`.

    `formulas` are those that the rules may call by name. Files that say `status: draft` are
    left out unless `drafts` is true. Raises `ProblemsFound` with every problem, sorted by place.
    """
    named = {formula.name: formula for formula in formulas}
    book = load_rulebook([Path(folder) for folder in folders], named, drafts)
    broken = [problem for unit in book.units.values() for problem in broken_limits(book, unit)]
    if broken:
        raise ProblemsFound(tuple(broken))
    return book
