"""The line as it is typed: editing, history and Tab, where Python has `readline`."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

MOST_LINES = 500
Complete = Callable[[str], Sequence[str]]
"""From the line as it stands to the lines that it may become."""


def readline() -> Any:
    """Return the module that edits lines; None where this Python has none."""
    with suppress(ImportError):
        import readline

        return readline
    return None


def complete_with(complete: Complete) -> None:
    """Let Tab offer what a line may become; blanks are part of it, as they are of names."""
    lines = readline()
    if lines is None:
        return
    found: list[str] = []

    def at(text: str, number: int) -> str | None:
        if number == 0:
            found[:] = complete(text)
        return found[number] if number < len(found) else None

    lines.set_completer_delims("")
    lines.set_completer(at)
    edits = "libedit" in (lines.__doc__ or "")
    lines.parse_and_bind("bind ^I rl_complete" if edits else "tab: complete")


@contextmanager
def history(path: Path) -> Iterator[None]:
    """Begin with what was typed in this session before, and keep it in a file for the next time.

    The file is readable by its owner alone; where it cannot be written it is lost without harm.
    """
    lines = readline()
    if lines is None:
        yield
        return
    lines.clear_history()
    with suppress(OSError):
        lines.read_history_file(path)
    try:
        yield
    finally:
        lines.set_history_length(MOST_LINES)
        with suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            lines.write_history_file(path)
            os.chmod(path, 0o600)
