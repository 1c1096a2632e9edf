"""The pictures of a job as SVG, by the drawsvg package, which is an optional extra.

Black on white with greys that a printer keeps apart; every number drawn is written beside it, and
stands in `data-value` of what is drawn for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from importlib import import_module
from textwrap import wrap
from typing import Any

from diag.jobs.pictures.canvas import FULL, Canvas
from diag.jobs.pictures.drawn import (
    BeliefPath,
    HeatFlow,
    JobPicture,
    LoadLine,
    StartCurrent,
    SupplyLosses,
    percent_of,
    title_of,
    told_in_words,
)

LIBRARY = "drawsvg"
LEAST_REST = 0.005
"""Volts below which what is left of the wiring's loss is rounding."""
LEAST_SPAN = 0.5
"""Volts that a scale spans at least: what is less is not to look like much."""
LETTERS = 28
"""Of a name beside its line, before it goes on below."""
DASHES = ("", "7 3", "2 3", "9 3 2 3")
"""Lines that are told apart without colour."""


def library() -> Any | None:
    """Return the package that draws; None where it is not installed."""
    try:
        return import_module(LIBRARY)
    except ImportError:
        return None


def svg_of(picture: JobPicture, drawing: Any, beside: Sequence[JobPicture] = ()) -> str:
    """Return a picture as one `svg` element, drawn by the package that `library` returned.

    Those that stand `beside` it, itself among them, have the same scales.
    """
    alike: Any = [one for one in beside if type(one) is type(picture)] or [picture]
    kinds: dict[type, Callable[[Any, Any, Any], Canvas]] = {
        SupplyLosses: _supply,
        LoadLine: _load_line,
        StartCurrent: _start,
        HeatFlow: _heat,
        BeliefPath: _belief,
    }
    canvas = kinds[type(picture)](drawing, picture, alike)
    return canvas.written(f"{title_of(picture)}. {told_in_words(picture)}")


def _ends(one: SupplyLosses | LoadLine) -> list[float]:
    volts = (one.rest_v, one.terminals_v, one.heater_v, one.cut_off_v)
    return [each for each in volts if each is not None]


def _supply(drawing: Any, one: SupplyLosses, alike: Sequence[SupplyLosses]) -> Canvas:
    """Draw the losses as steps from the volts at rest down to those at the heater."""
    steps = list(_steps(one))
    marks = [volts for each in alike for volts in _ends(each)]
    canvas = Canvas(drawing, 26.0 * (len(steps) + 2) + 34)
    canvas.across(min(marks), max(*marks, min(marks) + LEAST_SPAN), "V", left=145, right=385)
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


def _steps(one: SupplyLosses) -> Iterator[tuple[str, float]]:
    """Yield the losses in order; what neither cable was read to lose is the rest of the wiring."""
    yield "in the battery", one.battery_loss_v
    named = (("positive cable", one.positive_v), ("negative cable", one.negative_v))
    known = [(name, volts) for name, volts in named if volts is not None]
    yield from known
    rest = one.wiring_loss_v - sum(volts for _, volts in known)
    if not known or abs(rest) >= LEAST_REST:
        yield ("rest of the wiring" if known else "in the wiring"), rest


def _load_line(drawing: Any, one: LoadLine, alike: Sequence[LoadLine]) -> Canvas:
    """Draw volts over amps: the line through both readings, the heater and where it stops."""
    canvas = Canvas(drawing, 240.0)
    volts = [each for other in alike for each in _ends(other)]
    most = 1.15 * max(each.amps for each in alike)
    canvas.across(0.0, most, "A", left=50, right=335)
    canvas.up(min(volts), max(*volts, min(volts) + LEAST_SPAN), "V")
    canvas.path([(0.0, one.rest_v), (one.amps, one.terminals_v)], width=2.5)
    canvas.point(0.0, one.rest_v, f"at rest {one.rest_v:.2f} V", one.rest_v)
    canvas.point(one.amps, one.terminals_v, f"terminals {one.terminals_v:.2f} V", one.terminals_v)
    if one.heater_v is not None:
        told = f"heater {one.heater_v:.2f} V"
        canvas.point(one.amps, one.heater_v, told, one.heater_v, hollow=True)
    if one.cut_off_v is not None:
        canvas.path([(0.0, one.cut_off_v), (most, one.cut_off_v)], dash="6 4")
        canvas.words(55, canvas.y(one.cut_off_v) - 8, f"stops below {one.cut_off_v:.2f} V")
    return canvas


def _start(drawing: Any, one: StartCurrent, alike: Sequence[StartCurrent]) -> Canvas:
    """Draw the current of each phase as a bar from nought, with what is good as a bracket."""
    canvas = Canvas(drawing, 26.0 * len(one.phases) + 34)
    several = [each for other in alike for each in other.phases]
    ends = [end for each in several for end in (each.amps, each.low, each.high) if end]
    canvas.across(0.0, max(ends, default=1.0), "A", left=145, right=385)
    if any(each.low or each.high for each in one.phases):
        canvas.words(397.0, 26.0 * len(one.phases) + 22, "bracket: good", size=10)
    for number, each in enumerate(one.phases):
        y = 8.0 + 26 * number
        canvas.row(y, each.phase, f"{each.amps:.2f} A")
        canvas.bar(y, 0.0, each.amps, each.amps)
        canvas.bracket(y, each.low, each.high)
    return canvas


def _heat(drawing: Any, one: HeatFlow, _: Sequence[HeatFlow]) -> Canvas:
    """Draw the heat as a flow whose widths are its kilowatts: in on the left, out on the right."""
    canvas = Canvas(drawing, 210.0)
    out = [("warm air", one.air_kw, "#bbb")]
    if one.exhaust_kw is not None:
        out.append(("exhaust", one.exhaust_kw, "#777"))
    if one.rest_kw > 0:
        lead = "case" if one.exhaust_kw is not None else "exhaust, case"
        out.append((f"{lead}, unburnt", one.rest_kw, "#eee"))
    whole = max(one.fuel_kw, sum(kw for _, kw, _ in out))
    scale, top, bottom = 110.0 / whole, 30.0, 16.0
    canvas.block(80.0, top, 40.0, scale * one.fuel_kw, fill="#ddd", value=one.fuel_kw)
    canvas.words(74.0, top + scale * one.fuel_kw / 2 - 7, "fuel", "end")
    canvas.words(74.0, top + scale * one.fuel_kw / 2 + 7, f"{one.fuel_kw:.2f} kW", "end")
    for name, kw, grey in out:
        high = scale * kw
        canvas.flow((120.0, top), (305.0, bottom), high, grey, kw)
        canvas.words(313.0, bottom + high / 2 - 7, name)
        canvas.words(313.0, bottom + high / 2 + 7, f"{kw:.2f} kW, {kw / one.fuel_kw:.0%}")
        top, bottom = top + high, bottom + high + 26
    return canvas


def _belief(drawing: Any, one: BeliefPath, _: Sequence[BeliefPath]) -> Canvas:
    """Draw the share of each leading explanation after each answer, the names at their ends."""
    canvas = Canvas(drawing, 250.0, FULL)
    canvas.across(0.0, float(len(one.after) - 1), "", left=50, right=400, whole=True)
    canvas.up(0.0, 1.0, "%", scale=100.0)
    free: list[float] = []
    for (name, shares), dash in zip(one.lines, DASHES, strict=False):
        canvas.path(list(enumerate(shares)), dash=dash, width=2.0, values=shares)
        y = canvas.free_place(canvas.y(shares[-1]), free)
        for number, line in enumerate(wrap(f"{name} {percent_of(shares[-1])}", LETTERS)):
            canvas.words(450.0, y + 13 * number, line)
        canvas.sample(408.0, y, dash)
    return canvas
