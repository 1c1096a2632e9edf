"""The pictures of a job as SVG, by the drawsvg package, which is an optional extra.

Black on white with greys that a printer keeps apart; every number drawn is written beside it, and
stands in `data-value` of what is drawn for it.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from diag.jobs.pictures.canvas import Canvas
from diag.jobs.pictures.drawn import (
    BeliefPath,
    HeatFlow,
    LoadLine,
    Picture,
    StartCurrent,
    SupplyDrops,
    title_of,
    words_of,
)

LIBRARY = "drawsvg"
DASHES = ("", "7 3", "2 3", "9 3 2 3")
"""Lines that are told apart without colour."""


def library() -> Any | None:
    """Return the package that draws; None where it is not installed."""
    try:
        return import_module(LIBRARY)
    except ImportError:
        return None


def svg_of(picture: Picture, drawing: Any) -> str:
    """Return a picture as one `svg` element, drawn by the package that `library` returned."""
    kinds: dict[type, Callable[[Any, Any], Canvas]] = {
        SupplyDrops: _supply,
        LoadLine: _load_line,
        StartCurrent: _start,
        HeatFlow: _heat,
        BeliefPath: _belief,
    }
    canvas = kinds[type(picture)](drawing, picture)
    return canvas.written(f"{title_of(picture)}. {words_of(picture)}")


def _supply(drawing: Any, one: SupplyDrops) -> Canvas:
    """Draw the losses as steps from the volts at rest down to those at the heater."""
    steps = [("in the battery", one.battery_loss_v)]
    named = [("positive cable", one.positive_v), ("negative cable", one.negative_v)]
    known = [(name, volts) for name, volts in named if volts is not None]
    rest = one.wiring_loss_v - sum(volts for _, volts in known)
    steps += known
    if not known or abs(rest) >= 0.005:
        steps.append(("rest of the wiring" if known else "in the wiring", rest))
    marks = [one.rest_v, one.heater_v, *([one.cut_off_v] if one.cut_off_v is not None else [])]
    canvas = Canvas(drawing, 26.0 * (len(steps) + 2) + 34)
    canvas.across(min(marks), max(marks), "V", left=150, right=480)
    at, y = one.rest_v, 8.0
    canvas.row(y, "battery at rest", f"{at:.2f} V")
    canvas.tick(at, y)
    for name, volts in steps:
        y += 26
        canvas.row(y, f"lost {name}", f"{volts:.2f} V")
        canvas.bar(y, at, at - volts, volts)
        at -= volts
    canvas.row(y + 26, "at the heater", f"{one.heater_v:.2f} V", strong=True)
    canvas.tick(one.heater_v, y + 26)
    if one.cut_off_v is not None:
        canvas.limit(one.cut_off_v, f"stops below {one.cut_off_v:.2f} V")
    return canvas


def _load_line(drawing: Any, one: LoadLine) -> Canvas:
    """Draw volts over amps: the line through both readings, the heater and where it stops."""
    canvas = Canvas(drawing, 250.0)
    volts = [one.rest_v, one.terminals_v]
    volts += [each for each in (one.heater_v, one.cut_off_v) if each is not None]
    canvas.across(0.0, one.amps * 1.15, "A", left=60, right=430)
    canvas.up(min(volts), max(volts), "V")
    canvas.path([(0.0, one.rest_v), (one.amps, one.terminals_v)], width=2.5)
    canvas.point(0.0, one.rest_v, f"at rest {one.rest_v:.2f} V", one.rest_v)
    canvas.point(one.amps, one.terminals_v, f"terminals {one.terminals_v:.2f} V", one.terminals_v)
    if one.heater_v is not None:
        canvas.point(
            one.amps, one.heater_v, f"heater {one.heater_v:.2f} V", one.heater_v, hollow=True
        )
    if one.cut_off_v is not None:
        canvas.path([(0.0, one.cut_off_v), (one.amps * 1.15, one.cut_off_v)], dash="6 4")
        canvas.beside(one.cut_off_v, f"stops below {one.cut_off_v:.2f} V")
    return canvas


def _start(drawing: Any, one: StartCurrent) -> Canvas:
    """Draw the current of each phase as a bar from nought, with what is good as a bracket."""
    canvas = Canvas(drawing, 26.0 * len(one.phases) + 34)
    ends = [end for each in one.phases for end in (each.amps, each.low, each.high) if end]
    canvas.across(0.0, max(ends, default=1.0), "A", left=150, right=480)
    for number, each in enumerate(one.phases):
        y = 8.0 + 26 * number
        canvas.row(y, each.phase, f"{each.amps:.2f} A")
        canvas.bar(y, 0.0, each.amps, each.amps)
        canvas.bracket(y, each.low, each.high)
    return canvas


def _heat(drawing: Any, one: HeatFlow) -> Canvas:
    """Draw the heat as a flow whose widths are its kilowatts: in on the left, out on the right."""
    canvas = Canvas(drawing, 210.0)
    out = [("warm air", one.air_kw, "#bbb")]
    if one.exhaust_kw is not None:
        out.append(("exhaust", one.exhaust_kw, "#777"))
    if one.rest_kw > 0:
        out.append(("case, unburnt, errors", one.rest_kw, "#eee"))
    whole = max(one.fuel_kw, sum(kw for _, kw, _ in out))
    scale, top, bottom = 110.0 / whole, 30.0, 16.0
    canvas.block(120.0, top, 60.0, scale * one.fuel_kw, "#ddd", one.fuel_kw)
    canvas.words(112.0, top + scale * one.fuel_kw / 2, f"fuel {one.fuel_kw:.2f} kW", "end")
    for name, kw, grey in out:
        high = scale * kw
        canvas.flow((180.0, top), (400.0, bottom), high, grey, kw)
        canvas.words(408.0, bottom + high / 2, f"{name} {kw:.2f} kW ({kw / one.fuel_kw:.0%})")
        top, bottom = top + high, bottom + high + 26
    return canvas


def _belief(drawing: Any, one: BeliefPath) -> Canvas:
    """Draw the share of each leading explanation after each answer, the names at their ends."""
    canvas = Canvas(drawing, 250.0)
    canvas.across(0.0, float(len(one.after) - 1), "", left=50, right=400, whole=True)
    canvas.up(0.0, 1.0, "%", scale=100.0)
    free: list[float] = []
    for (name, shares), dash in zip(one.lines, DASHES, strict=False):
        canvas.path(list(enumerate(shares)), dash=dash, width=2.0, values=shares)
        y = canvas.free_place(canvas.y(shares[-1]), free)
        canvas.words(408.0, y, f"{name} {shares[-1]:.0%}")
        canvas.sample(408.0, y + 8, dash)
    return canvas
