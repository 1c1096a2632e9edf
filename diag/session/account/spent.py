"""What the work has taken so far, by the minutes and runs that the rules give for each act."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen
from diag.reason.plan.costs import runs_made
from diag.session.state import SessionState


@frozen
class Spent:
    """Minutes of work, minutes of waiting, and how often each run was made."""

    minutes: float
    waiting: float
    runs: Mapping[str, int]


def spent(state: SessionState) -> Spent:
    """Return what the checks begun and the repairs made so far take; a run is paid once.

    What it takes to get at a thing is not counted.
    """
    book, minutes, waiting, run = state.rulebook, 0.0, 0.0, ""
    for name in state.begun:
        check = book.checks[name]
        shared = book.runs[run].minutes if run and check.run == run else 0.0
        minutes += max(0.0, check.minutes - shared)
        waiting += check.waits
        run = check.run
    for result in state.repairs:
        repair = book.causes[result.cause].repair
        minutes, waiting = minutes + repair.minutes, waiting + repair.waits
    return Spent(minutes, waiting, dict(runs_made(book, state.begun)))
