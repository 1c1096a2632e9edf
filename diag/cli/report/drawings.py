"""The pictures of a job in characters, for any width: what has no room says so in its sentence."""

from __future__ import annotations

from diag.jobs.pictures.drawn import (
    BeliefPath,
    HeatFlow,
    JobPicture,
    LoadLine,
    PhaseAmps,
    StartCurrent,
    SupplyLosses,
)
from diag.practice.pictures.bars import BarRow, bars


def rows_of(picture: JobPicture, width: int) -> tuple[str, ...]:
    """Return a picture as rows of at most `width` characters, from the numbers that SVG shows."""
    if isinstance(picture, LoadLine):
        return _load_line(picture, width)
    return bars(_bars(picture), width)


def _bars(picture: JobPicture) -> list[BarRow]:
    if isinstance(picture, SupplyLosses):
        return _supply(picture)
    if isinstance(picture, StartCurrent):
        return [BarRow(one.phase, _amps(one), one.amps) for one in picture.phases]
    if isinstance(picture, HeatFlow):
        exhaust = picture.exhaust_kw
        out = [("air", picture.air_kw)] + ([("exhaust", exhaust)] if exhaust is not None else [])
        several = [("in the fuel", picture.fuel_kw), *((f"- {name}", kw) for name, kw in out)]
        several.append(("= not accounted for", picture.rest_kw))
        return [BarRow(name, f"{kw:.2f} kW", kw) for name, kw in several]
    assert isinstance(picture, BeliefPath)
    return [BarRow(name, f"{line[-1]:.0%}", line[-1]) for name, line in picture.lines]


def _supply(one: SupplyLosses) -> list[BarRow]:
    rows = [
        BarRow("battery at rest", f"{one.rest_v:.2f} V"),
        BarRow("- lost in the battery", f"{one.battery_loss_v:.2f} V", one.battery_loss_v),
        BarRow("= at its terminals", f"{one.terminals_v:.2f} V"),
        BarRow("- lost in the wiring", f"{one.wiring_loss_v:.2f} V", one.wiring_loss_v),
    ]
    for name, volts in (("positive", one.positive_v), ("negative", one.negative_v)):
        if volts is not None:
            rows.append(BarRow(f"  of it, {name} cable", f"{volts:.2f} V", volts))
    rows.append(BarRow("= at the heater", f"{one.heater_v:.2f} V"))
    if one.cut_off_v is not None:
        rows.append(BarRow("  it stops below", f"{one.cut_off_v:.2f} V"))
    return rows


def _amps(one: PhaseAmps) -> str:
    ends = [f"{end:.3g}" if end is not None else ".." for end in (one.low, one.high)]
    good = f" ({' to '.join(ends)})" if one.low is not None or one.high is not None else ""
    return f"{one.amps:.2f} A{good}"


def _load_line(one: LoadLine, width: int) -> tuple[str, ...]:
    from diag.cli.bench.load_line import LABEL, Mark, draw
    from diag.physics.supply.battery import TheveninSource

    if width < 40:
        return ()
    marks = [Mark("o", 0.0, one.rest_v), Mark("x", one.amps, one.terminals_v)]
    marks += [Mark("H", one.amps, one.heater_v)] if one.heater_v is not None else []
    source = TheveninSource(one.rest_v, one.milliohm / 1000.0)
    drawn = draw(source, one.cut_off_v, marks, min(58, width - LABEL - 2))
    key = "o at rest, x terminals, H heater, - it stops below"
    return (*drawn, key[:width])
