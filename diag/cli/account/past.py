"""The past of a heater on the screen: earlier jobs, what was repaired, and readings that wear."""

from __future__ import annotations

from collections.abc import Sequence

from diag.cli.terminal.screen import Screen, sentence
from diag.jobs.past.followed import FollowedFinding, followed
from diag.jobs.past.repaired import ago, weeks_between
from diag.jobs.past.unit_past import EarlierJob, UnitPast
from diag.jobs.past.wearing import WEARING
from diag.model.phrasing import in_a_row
from diag.model.quantity import plain_number
from diag.model.rulebook import Rulebook
from diag.session.state import SessionState
from diag.store.sessions import Store

MOST_SHOWN, MOST_DRAWN, DATE = 3, 24, 10
LEVELS = "_.-'"
"""From low to high, in letters that every terminal draws alike."""
CAME_TO = {
    "proved": "proved", "holds": "it held, the complaint went on", "failed": "it did not hold",
    "went on": "the complaint went on", "open": "not proved",
}  # fmt: skip


def show_past(screen: Screen, store: Store, past: UnitPast, state: SessionState) -> None:
    """Show the latest jobs of a heater, its readings over the years, and what is in conflict."""
    who = past.known.tag or past.known.serial or "this heater"
    if past.jobs:
        screen.heading(f"The past of {who}")
        screen.table(_row(one, state.rulebook, store.now()) for one in past.jobs[:MOST_SHOWN])
        if len(past.jobs) > MOST_SHOWN:
            screen.say(f"And {len(past.jobs) - MOST_SHOWN} more before.")
    sessions = [name for one in reversed(past.jobs) for name in one.sessions]
    of = (state.rulebook, state.unit, state.compiled.below)
    for each in followed(store, sessions, WEARING, of):
        screen.say(told_trend(each, drawn=screen.draws))
    for conflict in past.conflicts:
        screen.say(sentence(conflict), bold=True)


def _row(job: EarlierJob, book: Rulebook, now: str) -> tuple[str, ...]:
    told = [
        f"{book.causes[one.cause].title if one.cause in book.causes else one.cause}: "
        f"{CAME_TO[one.result]}"
        for one in job.repairs
    ]
    done = "; ".join(told) or "nothing repaired"
    return job.opened[:DATE], ago(weeks_between(job.opened, now)), f"{job.complaint}: {done}"


def told_trend(one: FollowedFinding, drawn: bool = True) -> str:
    """Write readings over the years in a sentence: where they go, and how sure that is."""
    trend, unit = one.trend, one.unit.symbol
    values = in_a_row(str(each.value.into(one.unit)) for each in one.readings[-5:])
    line = f" {sparkline(trend.values[-MOST_DRAWN:])}" if drawn else ""
    change = f"{plain_number(float(f'{abs(trend.slope):.2g}'))} {unit} a year"
    way = "up" if trend.slope > 0 else "down"
    if not trend.beyond_error:
        said = "no change beyond the meters' errors"
    elif trend.is_sure:
        said = f"{way} {change}, beyond the meters' errors and beyond chance"
    else:
        said = f"{way} {change}, beyond the meters' errors but not beyond chance"
    return f"`{one.finding}`{line}: {values}; {said}."


def sparkline(values: Sequence[float]) -> str:
    """Draw numbers in a row, one letter each, from low to high.

    >>> sparkline([0.7, 0.8, 0.9, 1.0]), sparkline([2.0, 2.0])
    ("_.-'", '__')
    """
    low, high = min(values), max(values)
    steps = len(LEVELS) - 1
    return "".join(
        LEVELS[round(steps * (value - low) / (high - low))] if high > low else LEVELS[0]
        for value in values
    )
