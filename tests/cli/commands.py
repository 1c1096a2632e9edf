"""The commands of the program, down to those that do something."""

from __future__ import annotations

from typing import Any

from diag.cli import app as diag


def leaves() -> dict[tuple[str, ...], Any]:
    """Return every command that does something, by its words after `diag`."""
    return {
        (name, *path): leaf
        for name in diag.COMMANDS
        for path, leaf in _leaves(diag.made(name)).items()
    }


def _leaves(command: Any, path: tuple[str, ...] = ()) -> dict[tuple[str, ...], Any]:
    """Return the commands that do something, by their names below this one."""
    below = getattr(command, "commands", {})
    own = {path: command} if command.params or not below else {}
    return own | {
        way: leaf
        for name, each in below.items()
        for way, leaf in _leaves(each, (*path, name)).items()
    }
