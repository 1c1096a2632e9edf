"""How each small picture looks: rows no wider than asked, and a sentence that says the same."""

from __future__ import annotations

from collections.abc import Sequence

from diag.bench.pictures.current import PhaseCurrent
from diag.bench.pictures.heat import HeatBalance
from diag.bench.pictures.supply import SessionLoadLine, SupplyDrops
from diag.cli.bench.load_line import LABEL, Mark, draw, legend_lines
from diag.practice.pictures.bars import BarRow, bars

WIDEST_LINE, LINE_HEIGHT = 70, 7


def drops_rows(one: SupplyDrops, width: int) -> Sequence[str]:
    """Draw the losses along the supply as bars."""
    battery, cables = one.in_the_battery_v, one.in_the_cables_v
    rows = (
        BarRow("battery at rest", f"{one.rest_v:.2f} V"),
        BarRow("- lost in the battery", f"{battery:.2f} V", battery),
        BarRow("= at its terminals", f"{one.terminals_v:.2f} V"),
        BarRow("- lost in the cables", f"{cables:.2f} V", cables),
        BarRow("= at the heater", f"{one.heater_v:.2f} V"),
    )
    return bars(rows, width)


def drops_words(one: SupplyDrops) -> str:
    """Say where the volts go."""
    return (
        f"Of {one.rest_v:.2f} V at rest the battery itself loses {one.in_the_battery_v:.2f} V and "
        f"the cables {one.in_the_cables_v:.2f} V; the heater gets {one.heater_v:.2f} V."
    )


def load_line_rows(one: SessionLoadLine, width: int) -> Sequence[str]:
    """Draw the battery's line, with the readings on it and what the heater got."""
    marks = [Mark("o", 0.0, one.source.emf_v), Mark("o", one.load_a, one.load_v)]
    legend = [". load line", "o reading"]
    if one.cut_off_v is not None:
        legend.append(f"- cut-off, {one.cut_off_v:.1f} V")
    if one.heater_v is not None:
        marks.append(Mark("x", one.load_a, one.heater_v))
        legend.append("x at the heater")
    across = min(WIDEST_LINE, width - LABEL - 1)
    drawn = draw(one.source, one.cut_off_v, marks, across, height=LINE_HEIGHT)
    return [*drawn, *legend_lines(legend, width)]


def load_line_words(one: SessionLoadLine) -> str:
    """Say what the battery's line tells."""
    ohm = 1000 * one.source.resistance_ohm
    said = (
        f"From {one.source.emf_v:.2f} V at rest the battery falls to {one.load_v:.2f} V at "
        f"{one.load_a:.1f} A: {ohm:.0f} mohm of its own"
    )
    if one.cut_off_v is None:
        return said + "."
    above = one.load_v - one.cut_off_v
    side = "above" if above >= 0.0 else "below"
    return f"{said}; that is {abs(above):.2f} V {side} the cut-off of {one.cut_off_v:.1f} V."


def current_rows(phases: Sequence[PhaseCurrent], width: int) -> Sequence[str]:
    """Draw each phase's current as a bar, with a mark where it is expected to end."""
    return bars(
        [BarRow(one.phase, _amps(one), one.read_a, one.expected_a) for one in phases], width
    )


def _amps(one: PhaseCurrent) -> str:
    wanted = "" if one.expected_a is None else f" of {one.expected_a:.1f}"
    return f"{one.read_a:.1f}{wanted} A"


def current_words(phases: Sequence[PhaseCurrent]) -> str:
    """Say what each phase draws, and what is expected."""
    return f"Read, of what is expected: {'; '.join(f'{one.phase} {_amps(one)}' for one in phases)}."


def heat_rows(one: HeatBalance, width: int) -> Sequence[str]:
    """Draw the heat in the fuel, in the air, and what is lost between them."""
    sides = (("in the fuel", one.fuel_w), ("in the air", one.air_w), ("lost", one.lost_w))
    return bars([BarRow(name, f"{watts / 1000:.2f} kW", watts) for name, watts in sides], width)


def heat_words(one: HeatBalance) -> str:
    """Say how much of the fuel's heat reaches the air."""
    return (
        f"Of {one.fuel_w / 1000:.2f} kW in the fuel {one.air_w / 1000:.2f} kW reach the air, "
        f"{one.percent:.0f} %."
    )
