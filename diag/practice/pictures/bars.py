"""Bars of values beside their labels, for any width: the numbers stay, the bars give way."""

from __future__ import annotations

from collections.abc import Sequence

from diag.model.frozen import frozen

LEAST_BAR, LONGEST_BAR = 4, 60


@frozen
class BarRow:
    """Hold one row: its label, its value as it is told, and what its bar stands for, if any.

    What was `expected` is marked on the bar, or beyond its end.
    """

    label: str
    told: str
    value: float | None = None
    expected: float | None = None


def bar_cells(value: float, most: float, room: int) -> int:
    """Return the cells of a bar that is `room` long at `most`; what is there at all has one.

    >>> bar_cells(5.0, 10.0, 20), bar_cells(0.01, 10.0, 20), bar_cells(0.0, 10.0, 20)
    (10, 1, 0)
    """
    if value <= 0.0 or most <= 0.0:
        return 0
    return max(1, round(room * min(1.0, value / most)))


def bars(rows: Sequence[BarRow], width: int) -> tuple[str, ...]:
    """Return the rows in columns, the longest bar as long as there is room for, of `#`."""
    label = max(len(row.label) for row in rows)
    told = max(len(row.told) for row in rows)
    room = min(LONGEST_BAR, width - label - told - 4)
    both = [each for row in rows for each in (row.value, row.expected) if each is not None]
    most = max(both, default=0.0)
    lines = []
    for row in rows:
        line = f"{row.label:<{label}}  {row.told:>{told}}"
        if row.value is not None and room >= LEAST_BAR:
            line += "  " + _marked(row, most, room)
        lines.append(line.rstrip()[:width])
    return tuple(lines)


def _marked(row: BarRow, most: float, room: int) -> str:
    """Return a row's bar, with `|` where its value was expected."""
    bar = "#" * bar_cells(row.value or 0.0, most, room)
    if row.expected is None:
        return bar
    at = max(0, bar_cells(row.expected, most, room) - 1)
    return f"{bar.ljust(at)[:at]}|{bar[at + 1 :]}"
