"""`diag battery`: asks for what is missing, and shows what the heater will see as it ignites."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from diag.bench.battery.inputs import AREA, CHEMISTRY, FURTHER, LENGTH, NEEDED
from diag.bench.battery.report import (
    CAUTION,
    LOAD_TEST,
    SupplyReport,
    supply_report,
    with_first_point,
)
from diag.bench.report import without_options
from diag.cli.bench.asking import Ask, Questions, answer, asker, until_believed
from diag.cli.bench.battery_screen import figure_value, supply_lines, supply_object
from diag.cli.bench.kept.outcome import BenchOutcome, Take
from diag.cli.bench.screen import tell
from diag.cli.book import shipped_thresholds
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen


def run_battery(
    answers: Mapping[str, str],
    as_json: bool = False,
    ask: Ask | None = None,
    points: Sequence[str] = (),
    take: Take | None = None,
) -> int:
    """Judge the supply and print it; return 0, whatever the verdict.

    `answers` holds the options that were given, as typed, and `points` further loads. Missing
    readings are asked for at a terminal, through `ask` if that is given. Raises `ValueError` for
    a value that cannot be, and `WrongUse` when readings are missing and nobody can be asked.
    """
    ask = asker(as_json, ask)
    full, points = with_first_point(answers, points)
    asked = bool(LOAD_TEST.lacking(full))
    if asked:
        if ask is None:
            raise WrongUse(LOAD_TEST.would_say(full))
        full = _asked_for(full, ask)
    thresholds = shipped_thresholds()
    report = until_believed(
        lambda now: supply_report(now, points, thresholds),
        full,
        (*NEEDED, *FURTHER),
        ask if asked else None,
    )
    if as_json:
        import json

        print(json.dumps(supply_object(report), indent=2))
    else:
        _show(report, (ask and ask.screen) or None, asked)
    if take is not None:
        figures = tuple(f"{each.name} {figure_value(each)}" for each in report.figures)
        take(BenchOutcome("battery", full, (report.sentence, *figures)))
    return 0


def _show(report: SupplyReport, within: Screen | None, asked: bool) -> None:
    """Write the report; on the screen of a session, where no options can be given, none is named.

    The caution that comes before what is `asked` is not said twice.
    """
    if within is not None:
        report = replace(report, notes=without_options(report.notes))
    screen = within or Screen()
    cautions = report.cautions[1:] if asked else report.cautions
    screen.lines(supply_lines(report, cautions, screen.width, screen.draws))


def _asked_for(answers: Mapping[str, str], ask: Questions) -> dict[str, str]:
    """Return the answers with what was missing asked for, each until it can be read."""
    tell(f"caution: {CAUTION}", ask.screen)
    tell("Let the volts settle: about 20 s at rest, 5 s under a heavy load.", ask.screen)
    full = dict(answers)
    for each in NEEDED:
        if each.option not in full:
            full[each.option] = answer(each, ask, full, may_skip=False)
    if LENGTH.option not in full:
        full[LENGTH.option] = answer(LENGTH, ask, full)
    if full[LENGTH.option] and AREA.option not in full:
        full[AREA.option] = answer(AREA, ask, full, may_skip=False)
    for each in FURTHER:
        if each is not CHEMISTRY and not full[CHEMISTRY.option]:
            break  # without the kind of battery the rest would tell little
        if each.option not in full:
            full[each.option] = answer(each, ask, full)
    return {name: text for name, text in full.items() if text}
