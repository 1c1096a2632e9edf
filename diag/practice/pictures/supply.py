"""Where the volts go between the battery and the heater while the glow plug is on."""

from __future__ import annotations

from itertools import pairwise

from diag.model.frozen import frozen
from diag.practice.pictures.bars import BarRow, bars
from diag.workshop import Trace, WorkshopError
from diag.workshop.laws.supply import (
    CABLE_START,
    CONNECTOR,
    CONNECTOR_BACK,
    EARTH_END,
    GROUND,
    ISOLATOR_OUT,
    TERMINAL,
    UNIT,
    UNIT_BACK,
)
from diag.workshop.run.moment import Moment

_SETTLED_S = 15.0
_OWN = "in the battery"
_OUT = (
    ("positive joint", TERMINAL, CABLE_START),
    ("fuse, isolator", CABLE_START, ISOLATOR_OUT),
    ("cable there", ISOLATOR_OUT, CONNECTOR),
    ("positive pin", CONNECTOR, UNIT),
)
_BACK = (
    ("negative pin", UNIT_BACK, CONNECTOR_BACK),
    ("cable back", CONNECTOR_BACK, EARTH_END),
    ("earth joint", EARTH_END, GROUND),
)


@frozen
class SupplyPath:
    """Hold the volts (V) lost along the supply of a unit at one moment, and what is left.

    `rest_v` is the battery before anything was switched on; the losses add up to `rest_v` less
    `heater_v`.
    """

    rest_v: float
    terminal_v: float
    losses: tuple[tuple[str, float], ...]
    """From the terminal to the heater and back, in order; the battery's own is not among them."""
    heater_v: float
    cut_off_v: float
    amps: float

    @property
    def in_the_battery_v(self) -> float:
        """Return what the battery itself gives less than at rest."""
        return self.rest_v - self.terminal_v


def supply_path(trace: Trace, rest_v: float, cut_off_v: float) -> SupplyPath:
    """Return the path at the moment of least volts at the heater, once the glow plug has settled.

    Where there was no glow, the least volts of all. `rest_v` are the battery's volts at rest (V),
    `cut_off_v` those below which the unit stops (V). Raises `WorkshopError` for an empty run.
    """
    glow = trace.during("glow").settled(_SETTLED_S)
    moments = (glow if len(glow) else trace).moments
    if not moments:
        raise WorkshopError("this run holds no moment: start the unit first")
    worst: Moment = min(moments, key=lambda moment: moment.unit_v)
    losses = tuple((name, worst.volts_between(*ends)) for name, *ends in (*_OUT, *_BACK))
    return SupplyPath(rest_v, worst.supply.terminal_v, losses, worst.unit_v, cut_off_v, worst.amps)


def _cents(path: SupplyPath) -> tuple[tuple[str, float], ...]:
    """Return each loss to 0.01 V so that, as they are told, they still add up.

    What is rounded is the volts left behind each place; a loss is the difference of two of those.
    """
    names = [_OWN, *(name for name, _ in path.losses)]
    left = [path.rest_v, path.terminal_v]
    for _, lost in path.losses:
        left.append(left[-1] - lost)
    rounded = [round(each, 2) for each in left]
    return tuple((name, a - b) for name, (a, b) in zip(names, pairwise(rounded), strict=True))


def supply_rows(path: SupplyPath, width: int) -> tuple[str, ...]:
    """Draw the losses as bars between the battery at rest and what the heater gets."""
    (own, battery), *others = _cents(path)
    rows = [
        BarRow("at rest", f"{path.rest_v:.2f} V"),
        BarRow(f"- {own}", f"{battery:.2f} V", battery),
        BarRow("= at its terminals", f"{path.terminal_v:.2f} V"),
        *(BarRow(f"- {name}", f"{lost:.2f} V", round(lost, 2)) for name, lost in others),
        BarRow("= heater gets", f"{path.heater_v:.2f} V"),
        BarRow("  it stops below", f"{path.cut_off_v:.2f} V"),
    ]
    return bars(rows, width)


def supply_words(path: SupplyPath) -> str:
    """Say the same in sentences, the greatest loss by name."""
    told = ", ".join(f"{name} {lost:.2f} V" for name, lost in _cents(path))
    name, most = max((_OWN, path.in_the_battery_v), *path.losses, key=lambda each: each[1])
    margin = path.heater_v - path.cut_off_v
    end = f"{margin:.2f} V above" if margin >= 0.0 else f"{-margin:.2f} V below"
    return (
        f"At {path.amps:.1f} A the battery's {path.rest_v:.2f} V at rest lose: {told}. The heater "
        f"gets {path.heater_v:.2f} V, {end} the {path.cut_off_v:.2f} V at which it stops. Most is "
        f"lost in one place: {name}, {most:.2f} V."
    )
