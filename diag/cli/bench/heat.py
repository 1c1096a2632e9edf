"""`diag heat`: asks for what is missing, and shows the report."""

from __future__ import annotations

from collections.abc import Mapping

from diag.bench.heat.inputs import EITHER, INPUTS, air_group, fuel_group
from diag.bench.heat.report import HEAT_CAUTIONS, heat_report
from diag.bench.heat.verdicts import heat_limits
from diag.cli.bench.asking import Ask, asker, settle, until_believed
from diag.cli.bench.kept.outcome import Take, outcome_of
from diag.cli.bench.screen import show
from diag.cli.book import shipped_thresholds
from diag.cli.guard import WrongUse


def run_heat(
    answers: Mapping[str, str],
    as_json: bool = False,
    ask: Ask | None = None,
    take: Take | None = None,
) -> int:
    """Weigh heat out against fuel in and print it; return 0, whatever the verdict.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be,
    and `WrongUse` when readings are missing and nobody can be asked.
    """
    for one, other in EITHER:
        if one.option in answers and other.option in answers:
            names = f"`--{one.option}` or `--{other.option}`"
            raise WrongUse(f"give {names}, not both: I cannot tell which to take")
    ask, limits = asker(as_json, ask), heat_limits(shipped_thresholds())
    groups = (fuel_group(answers), air_group(answers))
    full, complete, notes = settle(groups, answers, ask, HEAT_CAUTIONS)
    told = until_believed(lambda now: heat_report(now, complete, limits, notes), full, INPUTS, ask)
    show(told, as_json, screen=ask.screen if ask else None)
    if take is not None:
        take(outcome_of("heat", full, told))
    return 0
