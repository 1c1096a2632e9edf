"""Worked cases: does the session find what the case says is true, and at what cost?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from diag.authoring.case_run import CaseRun
from diag.authoring.playing import playing
from diag.model.case import Case
from diag.model.rulebook import Rulebook


@dataclass(frozen=True, slots=True)
class Tally:
    """How many cases of one sort there are, and how many came out right."""

    sort: str
    right: int
    total: int


def run_all(rulebook: Rulebook, cases: Iterable[Case]) -> tuple[CaseRun, ...]:
    """Run every case, in the order given."""
    with playing(rulebook, tuple(cases)) as runs:
        return tuple(runs)


def sort_of(case: Case) -> str:
    """Say of which sort a case is; a planted wrong reading comes before the number of causes."""
    if case.wrong:
        return "a wrong reading planted"
    if len(case.truth) > 1:
        return "two causes"
    return "one cause" if case.truth else "nothing wrong"


def tally(runs: Iterable[CaseRun]) -> tuple[Tally, ...]:
    """Count the cases by sort."""
    counts: dict[str, list[int]] = {}
    for run in runs:
        count = counts.setdefault(sort_of(run.case), [0, 0])
        count[0] += not run.failures
        count[1] += 1
    return tuple(Tally(sort, right, total) for sort, (right, total) in sorted(counts.items()))
