"""How `diag battery` shows a supply: the verdict, figures with their sums, the load line, JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from diag.bench.battery.report import SupplyFigure, SupplyReport
from diag.bench.battery.state import CHARGE_SOURCE
from diag.bench.battery.verdicts import place
from diag.bench.figures import rounded
from diag.bench.report import BenchReport, as_object, key, shares_object
from diag.cli.bench.load_line import (
    AXIS,
    HEIGHT,
    LABEL,
    LEAST_HEIGHT,
    WIDTH,
    Mark,
    draw,
    legend_lines,
)
from diag.cli.bench.screen import figure_lines, paragraph, report_lines
from diag.physics.supply.charge import ChargeBand, NoChargeBand
from diag.physics.supply.verdict import Measured, SupplyTest

TALLEST = 23  # lines that leave room for the prompt on a screen of 24


def supply_lines(
    report: SupplyReport, cautions: Sequence[str], width: int, draws: bool
) -> list[str]:
    """Return the screen: the verdict first, figures, then what else; at most `width` cells wide.

    The load line is drawn if the screen `draws` and has room for it within 24 lines.
    """
    shown = paragraph(report.sentence, width)
    for judgement in report.reach.judgements:
        shown += paragraph(judgement.sentence, width)
    rows = [(each.name, figure_value(each), each.formula) for each in report.figures]
    if report.charge_line is not None:
        rows.append(("charge", *report.charge_line))
    for figure in report.reach.figures:
        value = rounded(figure.value, figure.error, figure.unit)
        rows.append((figure.name, value, figure.formula))
    for name, value, how in rows:
        shown += figure_lines(name, value, how, width)
    below = report_lines(
        BenchReport(assumed=report.also_assumed, notes=report.notes, cautions=cautions), width
    )
    drawing = _drawing(report, width, TALLEST - len(shown) - len(below)) if draws else []
    return [*shown, *drawing, *below]


def figure_value(figure: SupplyFigure) -> str:
    """Write a value with its error; small resistances in milliohm."""
    if figure.unit == "ohm":
        milli = f"{figure.of.value * 1e3:.1f} mohm"
        return f"{milli} +- {figure.of.error * 1e3:.1f}" if figure.of.error else milli
    return f"{figure.of.value:.2f} {figure.unit} +- {figure.of.error:.2f}"


def _drawing(report: SupplyReport, width: int, most: int) -> list[str]:
    """Return the load line in at most so many rows, or none where that is too few to read it."""
    test, outlook = report.test, report.outlook
    loads = [(test.load_a, test.load_v), *((load.amps, load.volts) for load in test.more)]
    marks = [
        Mark("o", 0.0, test.rest_v.value),
        *(Mark("o", amps.value, volts.value) for amps, volts in loads),
        Mark("t", test.ignition_a, outlook.terminals_v.value),
    ]
    legend = [". load line", "- cut-off", "o reading", "t terminals"]
    if outlook.appliance_v is not None:
        marks.append(Mark("x", test.ignition_a, outlook.appliance_v.value))
        legend.append("x connector")
    across = min(WIDTH, width - LABEL - 1)
    told = legend_lines(legend, width)
    height = min(HEIGHT, most - AXIS - len(told))
    if height < LEAST_HEIGHT:
        return []
    return [*draw(outlook.line, test.cut_off_v, marks, across, height=height), *told]


def supply_object(report: SupplyReport) -> dict[str, Any]:
    """Return what `--json` prints: readings, figures with sources, verdicts, charge, advice."""
    outlook = report.outlook
    further = as_object(
        BenchReport(figures=report.reach.figures, judgements=report.reach.judgements)
    )
    figures = {
        key(each.name): {
            **_measured(each.of, each.unit), "formula": each.formula, "source": each.source
        }
        for each in report.figures
    }  # fmt: skip
    shares = shares_object(outlook.shares)
    return {
        "readings": _readings(report.test),
        "assumed": [*report.assumed, *report.also_assumed],
        "figures": {**figures, **further["figures"]},
        "line": {"emf": outlook.line.emf_v, "misfit": outlook.line.misfit_v, "unit": "V"},
        "charge": _charge_object(report.charge),
        "margin_is_of": place(outlook),
        "verdict": outlook.verdict,
        "sentence": report.sentence,
        "verdicts": further["verdicts"],
        "error_shares": shares,
        "weakest_reading": outlook.shares[0][0] if outlook.shares else None,
        "notes": list(report.notes),
        "cautions": list(report.cautions),
    }


def _charge_object(charge: ChargeBand | NoChargeBand | None) -> dict[str, Any] | None:
    if charge is None:
        return None
    if isinstance(charge, NoChargeBand):
        return {"verdict": "cannot tell", "reason": charge.reason}
    low, high = charge.low_percent, charge.high_percent
    band = {"verdict": "band", "low": low, "high": high, "unit": "%"}
    return {**band, "source": CHARGE_SOURCE}


def _readings(test: SupplyTest) -> dict[str, dict[str, Any]]:
    readings = {
        "volts_at_rest": _measured(test.rest_v, "V"),
        "volts_under_load": _measured(test.load_v, "V"),
        "load_current": _measured(test.load_a, "A"),
        "ignition_current": _measured(Measured(test.ignition_a), "A"),
        "low_voltage_cut_off": _measured(Measured(test.cut_off_v), "V"),
    }
    for number, load in enumerate(test.more, start=2):
        readings[f"current_of_load_{number}"] = _measured(load.amps, "A")
        readings[f"volts_of_load_{number}"] = _measured(load.volts, "V")
    return readings


def _measured(of: Measured, unit: str) -> dict[str, Any]:
    return {"value": of.value, "error": of.error, "unit": unit}
