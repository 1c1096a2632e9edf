"""A proven cause passes at least three worked cases.

What promotes a cause is evidence, never age: `proven` wants three cases or more whose truth it
is, and every one of them must come out.

Fails:
    causes:
      flat cells: {status: proven}

Says:
    the cause `flat cells` is called proven by 1 worked case that passes; 3 are needed
    add cases that pass, or set `status: trial`

Passes:
    causes:
      flat cells: {status: trial}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.case_runner import run_case
from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem

NEEDED = 3


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each proven cause with too few cases, or with one that fails."""
    book = material.rulebook
    for cause in book.causes.values():
        if cause.status != "proven":
            continue
        cases = [case for case in material.cases if cause.id in case.truth]
        failed = [case.id for case in cases if run_case(book, case).failures]
        passed = len(cases) - len(failed)
        advice = "add cases that pass, or set `status: trial`"
        if failed:
            message = f"the cause `{cause.id}` is called proven, but its case `{failed[0]}` fails"
            yield Problem(cause.place, message, "correct what fails, or set `status: trial`")
        elif passed < NEEDED:
            those = f"{passed} worked case{' that passes' if passed == 1 else 's that pass'}"
            message = f"the cause `{cause.id}` is called proven by {those}; {NEEDED} are needed"
            yield Problem(cause.place, message, advice)


LINT = Lint("E02", "proven-by-cases", check)
