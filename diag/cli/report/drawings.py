"""The pictures of a job in characters, drawn as a session draws them."""

from __future__ import annotations

from diag.cli.account import drawings
from diag.jobs.pictures.drawn import (
    HeatFlow,
    JobPicture,
    LoadLine,
    StartCurrent,
    SupplyLosses,
    percent_of,
)
from diag.practice.pictures.bars import BarRow, bars

LEAST_LINE = 40
"""A load line on a narrower page would tell nothing: its sentence does."""


def rows_of(picture: JobPicture, width: int) -> tuple[str, ...]:
    """Return a picture as rows of at most `width` characters, from the numbers that SVG shows."""
    if isinstance(picture, LoadLine):
        return tuple(drawings.load_line_rows(picture, width)) if width >= LEAST_LINE else ()
    if isinstance(picture, SupplyLosses):
        return tuple(drawings.drops_rows(picture, width))
    if isinstance(picture, StartCurrent):
        return tuple(drawings.current_rows(picture, width))
    if isinstance(picture, HeatFlow):
        return tuple(drawings.heat_rows(picture, width))
    last = [BarRow(name, percent_of(line[-1]), line[-1]) for name, line in picture.lines]
    return bars(last, width)
