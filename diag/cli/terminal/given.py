"""Files that a command is given by name, or over its input."""

from __future__ import annotations

import sys

from diag.cli.guard import WrongUse
from diag.cli.places import path_of
from diag.cli.terminal.source import at_keyboard
from diag.rulebook.yaml.source import LARGEST, NotRead, bytes_of


def given(name: str) -> bytes:
    """Return what a file holds, `-` being the input; `WrongUse` says why not."""
    if name == "-":
        at_keyboard()
        data = sys.stdin.buffer.read(LARGEST + 1)
        if len(data) > LARGEST:
            raise WrongUse(f"the input is longer than {LARGEST} bytes; give less of it")
        return data
    try:
        return bytes_of(path_of(name))
    except NotRead as error:
        said = error.message.removeprefix("this ").removeprefix("the file ")
        if said == "there is no such file":
            raise WrongUse(f"there is no file `{name}`; {error.advice}") from None
        raise WrongUse(f"`{name}` {said}; {error.advice}") from None
