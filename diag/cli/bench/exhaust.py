"""`diag exhaust`: asks for what is missing, and shows the report and the cabin's limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from diag.bench.exhaust.inputs import INPUTS, groups_of
from diag.bench.exhaust.report import EXHAUST_CAUTIONS, exhaust_report
from diag.bench.exhaust.verdicts import exhaust_limits
from diag.cli.bench.asking import Ask, asker, settle, until_believed
from diag.cli.bench.kept.outcome import Take, outcome_of
from diag.cli.bench.screen import show
from diag.cli.book import shipped_thresholds
from diag.cli.terminal.wrapping import columns

SHOWN = 6


def run_exhaust(
    answers: Mapping[str, str],
    as_json: bool = False,
    ask: Ask | None = None,
    take: Take | None = None,
) -> int:
    """Work out excess air, loss, smoke, carbon monoxide and thin air, and print it; return 0.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be,
    and `WrongUse` when readings are missing and nobody can be asked.
    """
    groups = groups_of(by_co2="co2" in answers and "o2" not in answers)
    ask, limits = asker(as_json, ask), exhaust_limits(shipped_thresholds())
    full, complete, notes = settle(groups, answers, ask, EXHAUST_CAUTIONS)
    told = until_believed(
        lambda now: exhaust_report(now, complete, limits, notes), full, INPUTS, ask
    )
    drawing = partial(_table, told.extra.get("limits", ()))
    show(told, as_json, drawing, ask.screen if ask else None)
    if take is not None:
        take(outcome_of("exhaust", full, told))
    return 0


def _table(limits: Sequence[Mapping[str, Any]], width: int) -> list[str]:
    """Return the limits that are passed or doubtful, the furthest passed first."""
    passed = [each for each in limits if each["standing"] in ("exceeded", "cannot tell")]
    passed.sort(key=lambda each: -each["highest_mean_ppm"] / each["limit_ppm"])
    rows = [(each["name"], _over(each), each["standing"]) for each in passed[:SHOWN]]
    left = len(limits) - len(rows)
    return [*columns(rows, width), f"  {left} more limits in --json"] if rows else []


def _over(each: Mapping[str, Any]) -> str:
    when = f"over {each['minutes']:g} min" if each["minutes"] else "at any moment"
    return f"{each['limit_ppm']:.3g} ppm {when}"
