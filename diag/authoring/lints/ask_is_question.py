"""What is asked ends with a question mark.

It is read aloud at the bench, and a question sounds like one.

Fails:
    findings:
      wet: {ask: Look for water inside.}

Says:
    `ask` of `wet` does not end with a question mark: `Look for water inside.`
    put it as a question

Passes:
    findings:
      wet: {ask: Is it wet inside?}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material, sentences_of
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each question that is none."""
    for each in sentences_of(material.rulebook):
        if each.key in ("ask", "asked together") and not each.text.rstrip().endswith("?"):
            yield Problem(
                each.place,
                f"`{each.key}` of `{each.owner}` does not end with a question mark: `{each.text}`",
                "put it as a question",
            )


LINT = Lint("M01", "ask-is-question", check)
