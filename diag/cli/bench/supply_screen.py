"""How `diag battery` shows a supply: figures with their sums, the load line, the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from diag.cli.bench.battery_reach import Reach
from diag.cli.bench.battery_state import CHARGE_SOURCE
from diag.cli.bench.bench_screen import Told, amount, row, wrapped
from diag.cli.bench.bench_screen import as_object as told_object
from diag.cli.bench.bench_screen import lines as told_lines
from diag.cli.bench.load_line import Mark, draw
from diag.physics.charge import ChargeBand, NoChargeBand
from diag.physics.supply_verdict import RESERVE_V, Measured, SupplyOutlook, SupplyTest

TALLEST = 23  # lines that leave room for the prompt on a screen of 24

ADVICE = {
    "volts at rest": "take `volts at rest` again, rested, with a finer meter or range",
    "volts under load": "take `volts under load` again, settled, with a finer meter or range",
    "load current": "take `load current` again with the clamp zeroed, or with a better one",
}
SOURCES = {
    "battery_resistance": "two-point method, IEC 60896-21:2004 cl. 6.3 (clause from memory)",
    "leads_and_joints": "IEC 60228:2004 Table 3, class 5, 20 C",
    "posts_while_igniting": "Ohm's law",
    "plug_while_igniting": "Ohm's law",
    "margin_to_cut_out": "Ohm's law; errors by JCGM 100:2008 eq. 10",
}


def _volts(of: Measured) -> str:
    return f"{of.value:.2f} V +- {of.error:.2f}"


def _where(outlook: SupplyOutlook) -> str:
    return "the posts" if outlook.appliance_v is None else "the plug"


def _worst(test: SupplyTest, outlook: SupplyOutlook) -> str:
    if outlook.appliance_v is None or (test.circuit_ohm or 0.0) < outlook.resistance_ohm.value:
        return "in the battery and its clamps"
    return "in the leads and joints"


@dataclass(frozen=True, slots=True)
class Screen:
    """All that is shown: the test, its outlook, what reaches further, the charge, notes.

    `assumed` names the options that were taken as usual, `also_assumed` says the rest in words.
    """

    test: SupplyTest
    outlook: SupplyOutlook
    assumed: tuple[str, ...]
    also_assumed: tuple[str, ...]
    reach: Reach
    charge_line: tuple[str, str] | None
    charge: ChargeBand | NoChargeBand | None
    notes: tuple[str, ...]


def _advice(test: SupplyTest, outlook: SupplyOutlook) -> str:
    if not outlook.shares:
        return ""
    name = outlook.shares[0][0]
    alike = "volts under load" if name.startswith("volts") else "load current"
    advice = ADVICE.get(name) or ADVICE[alike].replace(alike, name)
    if not test.more and test.load_a.value < test.ignition_a / 2:
        advice += f", or load with nearer to {test.ignition_a:g} A"
    return advice


def verdict_sentence(test: SupplyTest, outlook: SupplyOutlook) -> str:
    """Return the verdict in one sentence, with its numbers and what to do about it."""
    where, margin = _where(outlook), outlook.margin_v
    size = f"{abs(margin.value):.2f} V +- {margin.error:.2f}"
    if outlook.verdict == "cannot tell":
        side = "above" if margin.value >= 0 else "below"
        return (
            f"cannot tell: {where} would be {size} {side} the cut-out, inside the meters' error; "
            f"{_advice(test, outlook)}"
        )
    worst = _worst(test, outlook)
    if outlook.verdict == "does not supply":
        return f"does not supply: {where} would fall {size} below the cut-out, mostly {worst}"
    if outlook.verdict == "marginal":
        return (
            f"marginal: {where} would keep {size} above the cut-out, {RESERVE_V} V is wanted; "
            f"most of the drop is {worst}"
        )
    return f"supplies: {where} would keep {size} above the cut-out"


def _figures(
    test: SupplyTest, outlook: SupplyOutlook, assumed: Sequence[str]
) -> list[tuple[str, str, str]]:
    ohm, rest, load, amps = outlook.resistance_ohm, test.rest_v, test.load_v, test.load_a
    milli = f"{ohm.value * 1e3:.1f} mohm"

    def mark(name: str) -> str:
        return " (assumed)" if name in assumed else ""

    sum_ = f"({rest.value:g} V - {load.value:g} V) / {amps.value:g} A"
    start_v = f"{rest.value:g} V"
    if test.more:
        sum_ = f"line through {1 + len(test.more)} loads, from {outlook.line.emf_v:.2f} V"
        start_v = f"{outlook.line.emf_v:.2f} V"
    igniting = f"{test.ignition_a:g} A{mark('ignition')}"
    rows = [
        ("battery resistance", f"{milli} +- {ohm.error * 1e3:.1f}", sum_),
        (
            "posts while igniting",
            _volts(outlook.posts_v),
            f"{start_v} - {milli} x {igniting}",
        ),
    ]
    if outlook.appliance_v is not None and test.circuit_ohm is not None:
        leads = f"{test.circuit_ohm * 1e3:.1f} mohm"
        rows += [
            ("leads and joints", leads, "there and back, at 20 C"),
            ("plug while igniting", _volts(outlook.appliance_v), f"less {leads} x {igniting}"),
        ]
    over = f"over cut-out of {test.cut_out_v:g} V{mark('cut-out')}"
    return [*rows, ("margin", _volts(outlook.margin_v), over)]


def _drawing(test: SupplyTest, outlook: SupplyOutlook) -> list[str]:
    loads = [(test.load_a, test.load_v), *((load.amps, load.volts) for load in test.more)]
    marks = [
        Mark("o", 0.0, test.rest_v.value),
        *(Mark("o", amps.value, volts.value) for amps, volts in loads),
        Mark("p", test.ignition_a, outlook.posts_v.value),
    ]
    key = ". load line   - cut-out   o reading   p posts"
    if outlook.appliance_v is not None:
        marks.append(Mark("x", test.ignition_a, outlook.appliance_v.value))
        key += "   x plug"
    line = outlook.line
    drawn = draw(line.emf_v, line.resistance_ohm, test.cut_out_v, marks)
    return [*drawn, f"{'':11}{key}"]


def lines(screen: Screen, cautions: Sequence[str]) -> list[str]:
    """Return the screen: the verdict first, figures, then what else; at most 79 columns wide.

    The load line is drawn where it leaves the screen within 24 lines.
    """
    test, outlook, reach = screen.test, screen.outlook, screen.reach
    shown = wrapped(verdict_sentence(test, outlook))
    for verdict in reach.verdicts:
        shown += wrapped(verdict.sentence)
    for name, value, how in _figures(test, outlook, screen.assumed):
        shown += row(name, value, how)
    if screen.charge_line is not None:
        shown += row("charge", *screen.charge_line)
    for each in reach.figures:
        shown += row(each.name, amount(each.value, each.error, each.unit), each.how)
    below = told_lines(Told((), (), (), screen.also_assumed, screen.notes))
    below += [line for caution in cautions for line in wrapped(caution)]
    drawing = _drawing(test, outlook)
    if len(shown) + len(drawing) + len(below) > TALLEST:
        drawing = []
    return [*shown, *drawing, *below]


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
        "low_voltage_cut_out": _measured(Measured(test.cut_out_v), "V"),
    }
    for place, load in enumerate(test.more, start=2):
        readings[f"current_of_load_{place}"] = _measured(load.amps, "A")
        readings[f"volts_of_load_{place}"] = _measured(load.volts, "V")
    return readings


def _measured(of: Measured, unit: str) -> dict[str, Any]:
    return {"value": of.value, "error": of.error, "unit": unit}


def as_object(screen: Screen, cautions: Sequence[str]) -> dict[str, Any]:
    """Return what `--json` prints: readings, figures with sources, verdicts, charge, advice."""
    test, outlook = screen.test, screen.outlook
    figures = {
        "battery_resistance": _measured(outlook.resistance_ohm, "ohm"),
        "posts_while_igniting": _measured(outlook.posts_v, "V"),
        "margin_to_cut_out": _measured(outlook.margin_v, "V"),
    }
    if outlook.appliance_v is not None and test.circuit_ohm is not None:
        figures["leads_and_joints"] = _measured(Measured(test.circuit_ohm), "ohm")
        figures["plug_while_igniting"] = _measured(outlook.appliance_v, "V")
    further = told_object(Told((), screen.reach.figures, screen.reach.verdicts))
    rows = _figures(test, outlook, screen.assumed)
    how = {name.replace(" ", "_"): sum_ for name, _, sum_ in rows}
    how["margin_to_cut_out"] = how["margin"]
    sourced = {
        name: {**each, "how": how[name], "source": SOURCES[name]} for name, each in figures.items()
    }
    return {
        "readings": _readings(test),
        "assumed": [*screen.assumed, *screen.also_assumed],
        "figures": {**sourced, **further["figures"]},
        "line": {"emf": outlook.line.emf_v, "misfit": outlook.line.misfit_v, "unit": "V"},
        "charge": _charge_object(screen.charge),
        "margin_is_of": _where(outlook).removeprefix("the "),
        "verdict": outlook.verdict,
        "sentence": verdict_sentence(test, outlook),
        "verdicts": further["verdicts"],
        "error_shares": dict(outlook.shares),
        "weakest_reading": outlook.shares[0][0] if outlook.shares else None,
        "notes": list(screen.notes),
        "cautions": [each.removeprefix("caution: ") for each in cautions],
    }
