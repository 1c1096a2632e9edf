"""How each picture of readings looks: rows no wider than asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.cli.bench.load_line import LABEL, Mark, draw, legend_lines
from diag.jobs.pictures.drawn import HeatFlow, LoadLine, StartCurrent, SupplyLosses
from diag.physics.supply.battery import TheveninSource
from diag.practice.pictures.bars import BarRow, bars

WIDEST_LINE, LINE_HEIGHT = 70, 7


def drops_rows(one: SupplyLosses, width: int) -> Sequence[str]:
    """Draw the losses along the supply as bars, each cable by itself where it was read."""
    return bars(list(_drops(one)), width)


def _drops(one: SupplyLosses) -> Iterator[BarRow]:
    yield BarRow("battery at rest", f"{one.rest_v:.2f} V")
    yield _lost("battery", one.battery_loss_v)
    yield BarRow("= at its terminals", f"{one.terminals_v:.2f} V")
    yield _lost("cables", one.wiring_loss_v)
    for cable, volts in (("positive", one.positive_v), ("negative", one.negative_v)):
        if volts is not None:
            yield BarRow(f"  of it, {cable}", f"{volts:.2f} V", volts)
    yield BarRow("= at the heater", f"{one.heater_v:.2f} V")


def _lost(where: str, volts: float) -> BarRow:
    return BarRow(f"- lost in the {where}", f"{volts:.2f} V", volts)


def load_line_rows(one: LoadLine, width: int) -> Sequence[str]:
    """Draw the battery's line, with the readings on it and what the heater got."""
    source = TheveninSource(one.rest_v, one.milliohm / 1000)
    marks = [Mark("o", 0.0, one.rest_v), Mark("o", one.amps, one.terminals_v)]
    legend = [". load line", "o reading"]
    if one.cut_off_v is not None:
        legend.append(f"- cut-off, {one.cut_off_v:.1f} V")
    if one.heater_v is not None:
        marks.append(Mark("x", one.amps, one.heater_v))
        legend.append("x at the heater")
    across = min(WIDEST_LINE, width - LABEL - 1)
    drawn = draw(source, one.cut_off_v, marks, across, height=LINE_HEIGHT)
    return [*drawn, *legend_lines(legend, width)]


def current_rows(one: StartCurrent, width: int) -> Sequence[str]:
    """Draw each phase's current as a bar, with marks between which it is good."""
    phases = one.phases
    return bars(
        [
            BarRow(each.phase, f"{each.amps:.2f} A", each.amps, (each.low, each.high))
            for each in phases
        ],
        width,
    )


def heat_rows(one: HeatFlow, width: int) -> Sequence[str]:
    """Draw the heat in the fuel, and where it goes."""
    sides = [("in the fuel", one.fuel_kw), ("in the air", one.air_kw)]
    if one.exhaust_kw is not None:
        sides.append(("in the exhaust", one.exhaust_kw))
    sides.append(("the rest", one.rest_kw))
    return bars([BarRow(name, f"{kw:.2f} kW", kw) for name, kw in sides], width)
