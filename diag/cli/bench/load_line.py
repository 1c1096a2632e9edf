"""A battery's load line drawn in plain characters: volts up, amps across."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.frozen import frozen

WIDTH, HEIGHT = 58, 10


@frozen
class Mark:
    """One point to show: its character, amps and volts."""

    sign: str
    amps: float
    volts: float


def _row(volts: float, low: float, high: float) -> int:
    return round((high - volts) / (high - low) * (HEIGHT - 1))


def draw(
    emf_v: float, resistance_ohm: float, cut_out_v: float, marks: Sequence[Mark]
) -> tuple[str, ...]:
    """Return the lines of the drawing, each at most 70 columns wide.

    `.` is the load line, `-` the cut-out; later marks are drawn over earlier ones.
    """
    across = max(mark.amps for mark in marks) * 1.1
    shown = [cut_out_v, emf_v, *(mark.volts for mark in marks)]
    pad = (max(shown) - min(shown)) * 0.08 or 0.1
    low, high = min(shown) - pad, max(shown) + pad
    grid = [[" "] * (WIDTH + 1) for _ in range(HEIGHT)]
    for column in range(WIDTH + 1):
        grid[_row(cut_out_v, low, high)][column] = "-"
    for column in range(WIDTH + 1):
        volts = emf_v - resistance_ohm * across * column / WIDTH
        if low <= volts <= high:
            grid[_row(volts, low, high)][column] = "."
    for mark in marks:
        grid[_row(mark.volts, low, high)][round(mark.amps / across * WIDTH)] = mark.sign
    lines = []
    for number, row in enumerate(grid):
        volts = high - (high - low) * number / (HEIGHT - 1)
        label = f"{volts:7.2f} V" if number % 3 == 0 else " " * 9
        lines.append(f"{label} |{''.join(row)}".rstrip())
    ends = f"{'0 A':<{WIDTH // 2}}{f'{across:.3g} A':>{WIDTH - WIDTH // 2}}"
    return (*lines, f"{'':9} +{'-' * WIDTH}", f"{'':11}{ends}")
