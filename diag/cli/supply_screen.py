"""How `diag battery` shows a supply: figures with their sums, the load line, the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from diag.cli.load_line import Mark, draw
from diag.physics.supply_verdict import RESERVE_V, Measured, SupplyOutlook, SupplyTest

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


def _advice(test: SupplyTest, outlook: SupplyOutlook) -> str:
    if not outlook.shares:
        return ""
    advice = ADVICE[outlook.shares[0][0]]
    if test.load_a.value < test.ignition_a / 2:
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
    igniting = f"{test.ignition_a:g} A{mark('ignition')}"
    rows = [
        ("battery resistance", f"{milli} +- {ohm.error * 1e3:.1f}", sum_),
        (
            "posts while igniting",
            _volts(outlook.posts_v),
            f"{rest.value:g} V - {milli} x {igniting}",
        ),
    ]
    if outlook.appliance_v is not None and test.circuit_ohm is not None:
        leads = f"{test.circuit_ohm * 1e3:.1f} mohm"
        rows += [
            ("leads and joints", leads, "there and back, at 20 C"),
            ("plug while igniting", _volts(outlook.appliance_v), f"less {leads} x {igniting}"),
        ]
    over = f"over the cut-out of {test.cut_out_v:g} V{mark('cut-out')}"
    return [*rows, ("margin", _volts(outlook.margin_v), over)]


def _wrapped(text: str, width: int = 78) -> list[str]:
    import textwrap

    return textwrap.wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)


def lines(
    test: SupplyTest, outlook: SupplyOutlook, assumed: Sequence[str], notes: Sequence[str]
) -> list[str]:
    """Return the screen, at most 80 columns wide and 24 lines high."""
    shown = [
        f"{name:<21}{value:<19} {how}".rstrip() for name, value, how in
        _figures(test, outlook, assumed)
    ]  # fmt: skip
    marks = [
        Mark("o", 0.0, test.rest_v.value),
        Mark("o", test.load_a.value, test.load_v.value),
        Mark("p", test.ignition_a, outlook.posts_v.value),
    ]
    key = ". load line   - cut-out   o reading   p posts"
    if outlook.appliance_v is not None:
        marks.append(Mark("x", test.ignition_a, outlook.appliance_v.value))
        key += "   x plug"
    drawing = draw(test.rest_v.value, outlook.resistance_ohm.value, test.cut_out_v, marks)
    said = _wrapped(verdict_sentence(test, outlook))
    told = [line for note in notes for line in _wrapped(note)]
    return [*shown, *drawing, f"{'':11}{key}", *said, *told]


def as_object(
    test: SupplyTest, outlook: SupplyOutlook, assumed: Sequence[str], notes: Sequence[str]
) -> dict[str, Any]:
    """Return what `--json` prints: readings, figures with sources, verdict, advice."""

    def measured(of: Measured, unit: str) -> dict[str, Any]:
        return {"value": of.value, "error": of.error, "unit": unit}

    figures = {
        "battery_resistance": measured(outlook.resistance_ohm, "ohm"),
        "posts_while_igniting": measured(outlook.posts_v, "V"),
        "margin_to_cut_out": measured(outlook.margin_v, "V"),
    }
    if outlook.appliance_v is not None and test.circuit_ohm is not None:
        figures["leads_and_joints"] = measured(Measured(test.circuit_ohm), "ohm")
        figures["plug_while_igniting"] = measured(outlook.appliance_v, "V")
    return {
        "readings": {
            "volts_at_rest": measured(test.rest_v, "V"),
            "volts_under_load": measured(test.load_v, "V"),
            "load_current": measured(test.load_a, "A"),
            "ignition_current": measured(Measured(test.ignition_a), "A"),
            "low_voltage_cut_out": measured(Measured(test.cut_out_v), "V"),
        },
        "assumed": list(assumed),
        "figures": {name: {**each, "source": SOURCES[name]} for name, each in figures.items()},
        "margin_is_of": _where(outlook).removeprefix("the "),
        "verdict": outlook.verdict,
        "sentence": verdict_sentence(test, outlook),
        "error_shares": dict(outlook.shares),
        "weakest_reading": outlook.shares[0][0] if outlook.shares else None,
        "notes": list(notes),
    }
