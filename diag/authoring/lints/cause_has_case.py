"""Every cause but a draft is the truth of a worked case.

What no case tries may break without anybody noticing. A draft may wait for its first case.

Fails:
    causes:
      rusty switch: {status: trial}

Says:
    the cause `rusty switch` is on trial, but is the truth of no worked case
    add one under `cases`, or set `status: draft`

Passes:
    causes:
      rusty switch: {status: draft}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each cause on trial or proven without a case."""
    tried = {name for case in material.cases for name in case.truth}
    for cause in material.rulebook.causes.values():
        if cause.status != "draft" and cause.id not in tried:
            standing = "on trial" if cause.status == "trial" else "proven"
            yield Problem(
                cause.place,
                f"the cause `{cause.id}` is {standing}, but is the truth of no worked case",
                "add one under `cases`, or set `status: draft`",
            )


LINT = Lint("E01", "cause-has-case", check)
