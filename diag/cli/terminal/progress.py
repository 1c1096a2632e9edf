"""How far long work has come, with the time left, and a word where that is not known.

On a terminal only, on the error stream, and so never in what is printed.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

ShareDone = Callable[[float], None]
"""Told how much of the work is done, from 0 to 1."""
QUIET_S = 0.7
"""Seconds of silence that nobody minds."""


@contextmanager
def progress(what: str, plain: bool = False) -> Iterator[ShareDone]:
    """Show a bar for work while it lasts.

    It has no colour, which might not read on the ground that there is.

    Nothing is shown where nobody looks, on a terminal that cannot redraw a line, or `plain`.
    """
    if not _shown(plain):
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


@contextmanager
def patience(what: str, plain: bool = False, quiet_s: float = QUIET_S) -> Iterator[None]:
    """Say what takes so long, and for how long, once it has been silent for `quiet_s` seconds.

    For work that nobody can foretell. It is wiped away again, and shown where `progress` is.
    """
    if not _shown(plain):
        yield
        return
    from threading import Event, Thread

    over, told = Event(), list[str]()

    def tell() -> None:
        seconds = quiet_s
        while not over.wait(seconds if not told else 1.0):
            told.append(f"{what} ... {seconds:.0f} s")
            seconds += 1.0
            print(f"\r{told[-1]}", end="", file=sys.stderr, flush=True)

    teller = Thread(target=tell, daemon=True)
    teller.start()
    try:
        yield
    finally:
        over.set()
        teller.join()
        if told:
            print(f"\r{' ' * len(told[-1])}\r", end="", file=sys.stderr, flush=True)


def _shown(plain: bool) -> bool:
    """Tell whether somebody looks; the command line tells too, before a command has its screen."""
    there = sys.stderr is not None and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"
    return there and not plain and "--plain" not in sys.argv
