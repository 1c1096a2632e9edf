"""A battery's load line drawn in plain characters: volts up, amps across."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.frozen import frozen

WIDTH, HEIGHT, LABEL = 58, 9, 11


@frozen
class Mark:
    """One point to show: its character, amps and volts."""

    sign: str
    amps: float
    volts: float


def _row(volts: float, low: float, high: float) -> int:
    return round((high - volts) / (high - low) * (HEIGHT - 1))


def draw(
    emf_v: float, resistance_ohm: float, cut_off_v: float, marks: Sequence[Mark], width: int = WIDTH
) -> tuple[str, ...]:
    """Return the lines of the drawing, each at most `LABEL` + `width` + 1 columns wide.

    `.` is the load line, `-` the cut-off; later marks are drawn over earlier ones.
    """
    across = max(mark.amps for mark in marks) * 1.1
    shown = [cut_off_v, emf_v, *(mark.volts for mark in marks)]
    pad = (max(shown) - min(shown)) * 0.08 or 0.1
    low, high = min(shown) - pad, max(shown) + pad
    grid = [[" "] * (width + 1) for _ in range(HEIGHT)]
    for column in range(width + 1):
        grid[_row(cut_off_v, low, high)][column] = "-"
    for column in range(width + 1):
        volts = emf_v - resistance_ohm * across * column / width
        if low <= volts <= high:
            grid[_row(volts, low, high)][column] = "."
    for mark in marks:
        grid[_row(mark.volts, low, high)][round(mark.amps / across * width)] = mark.sign
    lines = []
    for number, row in enumerate(grid):
        volts = high - (high - low) * number / (HEIGHT - 1)
        label = f"{volts:7.2f} V" if number % 3 == 0 else " " * 9
        lines.append(f"{label} |{''.join(row)}".rstrip())
    ends = f"{'0 A':<{width // 2}}{f'{across:.3g} A':>{width - width // 2}}"
    return (*lines, f"{'':9} +{'-' * width}", f"{'':11}{ends}")
