"""The line as it is typed: editing, history and Tab, where Python has `readline`."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import suppress
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


class History:
    """What was typed in a session, kept in a file of its own for the next time."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._lines = readline()

    def begin(self) -> None:
        """Put what was typed in this session before in the place of all else."""
        if self._lines is not None:
            self._lines.clear_history()
            with suppress(OSError):
                self._lines.read_history_file(self._path)

    def keep(self) -> None:
        """Keep it, readable by its owner alone; where that cannot be, it is lost without harm."""
        if self._lines is None:
            return
        self._lines.set_history_length(MOST_LINES)
        with suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._lines.write_history_file(self._path)
            os.chmod(self._path, 0o600)
