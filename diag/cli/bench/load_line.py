"""A battery's load line drawn in plain characters: volts up, amps across."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.frozen import frozen
from diag.physics.supply.battery import TheveninSource

WIDTH, HEIGHT, LABEL = 58, 9, 11
AXIS, LEAST_HEIGHT = 2, 5


@frozen
class Mark:
    """One point to show: its character, amps and volts."""

    sign: str
    amps: float
    volts: float


def draw(
    source: TheveninSource,
    cut_off_v: float | None,
    marks: Sequence[Mark],
    width: int = WIDTH,
    *,
    height: int = HEIGHT,
) -> tuple[str, ...]:
    """Return the lines of the drawing, each at most `LABEL` + `width` + 1 columns wide.

    `.` is the load line, `-` the cut-off; later marks are drawn over earlier ones.
    """
    across = max(mark.amps for mark in marks) * 1.1
    shown = [source.emf_v, *(mark.volts for mark in marks)]
    shown += [] if cut_off_v is None else [cut_off_v]
    pad = (max(shown) - min(shown)) * 0.08 or 0.1
    low, high = min(shown) - pad, max(shown) + pad

    def at(volts: float) -> int:
        return round((high - volts) / (high - low) * (height - 1))

    grid = [[" "] * (width + 1) for _ in range(height)]
    if cut_off_v is not None:
        grid[at(cut_off_v)] = ["-"] * (width + 1)
    for column in range(width + 1):
        volts = source.emf_v - source.resistance_ohm * across * column / width
        if low <= volts <= high:
            grid[at(volts)][column] = "."
    for mark in marks:
        grid[at(mark.volts)][round(mark.amps / across * width)] = mark.sign
    lines = []
    for number, row in enumerate(grid):
        volts = high - (high - low) * number / (height - 1)
        label = f"{volts:7.2f} V" if number % 3 == 0 else " " * 9
        lines.append(f"{label} |{''.join(row)}".rstrip())
    ends = f"{'0 A':<{width // 2}}{f'{across:.3g} A':>{width - width // 2}}"
    return (*lines, f"{'':9} +{'-' * width}", f"{'':11}{ends}")


def legend_lines(legend: Sequence[str], width: int) -> list[str]:
    """Return what the marks mean, side by side where they fit, set in below the drawing."""
    pad, lines = " " * LABEL, list[str]()
    for each in legend:
        if lines and len(lines[-1]) + 3 + len(each) <= width:
            lines[-1] += f"   {each}"
        else:
            lines.append(pad + each)
    return lines
