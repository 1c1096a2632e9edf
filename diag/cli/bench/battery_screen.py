"""How `diag battery` shows a supply: the verdict, figures with their sums, the load line, JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from diag.bench.battery.report import SupplyFigure, SupplyReport
from diag.bench.battery.state import CHARGE_SOURCE
from diag.bench.battery.verdicts import place
from diag.bench.figures import amount
from diag.bench.report import BenchReport, key, shares_object
from diag.bench.report import as_object as report_object
from diag.cli.bench.load_line import Mark, draw
from diag.cli.bench.screen import lines as report_lines
from diag.cli.bench.screen import row, wrapped
from diag.physics.charge import ChargeBand, NoChargeBand
from diag.physics.supply_verdict import Measured, SupplyTest

TALLEST = 23  # lines that leave room for the prompt on a screen of 24


def lines(report: SupplyReport, cautions: Sequence[str]) -> list[str]:
    """Return the screen: the verdict first, figures, then what else; at most 79 columns wide.

    The load line is drawn where it leaves the screen within 24 lines.
    """
    shown = wrapped(report.sentence)
    for judgement in report.reach.judgements:
        shown += wrapped(judgement.sentence)
    for each in report.figures:
        shown += row(each.name, _value(each), each.formula)
    if report.charge_line is not None:
        shown += row("charge", *report.charge_line)
    for figure in report.reach.figures:
        shown += row(figure.name, amount(figure.value, figure.error, figure.unit), figure.formula)
    below = report_lines(
        BenchReport(assumed=report.also_assumed, notes=report.notes, cautions=cautions)
    )
    drawing = _drawing(report)
    if len(shown) + len(drawing) + len(below) > TALLEST:
        drawing = []
    return [*shown, *drawing, *below]


def _value(figure: SupplyFigure) -> str:
    """Write a value with its error; small resistances in milliohm."""
    if figure.unit == "ohm":
        milli = f"{figure.of.value * 1e3:.1f} mohm"
        return f"{milli} +- {figure.of.error * 1e3:.1f}" if figure.of.error else milli
    return f"{figure.of.value:.2f} {figure.unit} +- {figure.of.error:.2f}"


def _drawing(report: SupplyReport) -> list[str]:
    test, outlook = report.test, report.outlook
    loads = [(test.load_a, test.load_v), *((load.amps, load.volts) for load in test.more)]
    marks = [
        Mark("o", 0.0, test.rest_v.value),
        *(Mark("o", amps.value, volts.value) for amps, volts in loads),
        Mark("t", test.ignition_a, outlook.terminals_v.value),
    ]
    legend = ". load line   - cut-off   o reading   t terminals"
    if outlook.appliance_v is not None:
        marks.append(Mark("x", test.ignition_a, outlook.appliance_v.value))
        legend += "   x connector"
    line = outlook.line
    drawn = draw(line.emf_v, line.resistance_ohm, test.cut_off_v, marks)
    return [*drawn, f"{'':11}{legend}"]


def as_object(report: SupplyReport) -> dict[str, Any]:
    """Return what `--json` prints: readings, figures with sources, verdicts, charge, advice."""
    outlook = report.outlook
    further = report_object(
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
