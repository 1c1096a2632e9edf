"""What to do, and what to say to the owner, ends with a full stop.

Steps are printed one below the other and read one by one: each is a whole sentence.

Fails:
    causes:
      flat cells: {repair: {do: [Change the cells]}}

Says:
    `do` of `flat cells` does not end with a full stop: `Change the cells`
    write a whole sentence

Passes:
    causes:
      flat cells: {repair: {do: [Change the cells.]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material, sentences_of
from diag.model.problem import Problem

KEYS = ("do", "do now", "explain", "tell the owner")


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each instruction that is no whole sentence."""
    for each in sentences_of(material.rulebook):
        if each.key in KEYS and not each.text.rstrip().endswith((".", "!", "?")):
            yield Problem(
                each.place,
                f"`{each.key}` of `{each.owner}` does not end with a full stop: `{each.text}`",
                "write a whole sentence",
            )


LINT = Lint("M02", "do-is-sentence", check)
