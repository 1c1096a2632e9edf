"""How far long work has come, with the time left: on a terminal only."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

ShareDone = Callable[[float], None]
"""Told how much of the work is done, from 0 to 1."""


@contextmanager
def progress(what: str, plain: bool = False) -> Iterator[ShareDone]:
    """Show a bar for work while it lasts, on the error stream and so never in what is printed.

    It has no colour, which might not read on the ground that there is.

    Nothing is shown where nobody looks, on a terminal that cannot redraw a line, or `plain`.
    """
    shown = sys.stderr is not None and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
    if plain or not shown:
        yield lambda _: None
        return
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        Progress,
        TaskProgressColumn,
        TextColumn,
        TimeRemainingColumn,
    )

    text = TextColumn("{task.description}", markup=False)
    parts = (text, BarColumn(bar_width=None), TaskProgressColumn(), TimeRemainingColumn())
    with Progress(
        *parts, console=Console(stderr=True, no_color=True), transient=True, expand=True
    ) as bar:
        task = bar.add_task(what, total=1.0)
        yield lambda done: bar.update(task, completed=done)
