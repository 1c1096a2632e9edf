"""Ask until the answer can be read: the one loop for lists, prompts and readings."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from diag.cli.guard import WrongUse

Read = TypeVar("Read")
AGAIN = ("again", "repeat", "help", "?")


def ask_until(
    next_line: Callable[[], str | None],
    read: Callable[[str], Read],
    refuse: Callable[[ValueError | WrongUse], None],
    put: Callable[[], None] | None = None,
) -> Read | None:
    """Return what `read` makes of the first line that it can read; None when the lines end.

    `next_line` puts the question and returns a line, None at the end of the input. `read` takes
    the line without blanks around it and raises `ValueError` or `WrongUse` with a sentence for
    what it cannot read; `refuse` shows that, and the next line is asked for. What a blank line
    means is for `read` to say. With `put`, which puts the question on the screen, `again` and the
    words for help do that once more.

    >>> lines = iter(["twelve", " 12 "])
    >>> ask_until(lambda: next(lines, None), int, lambda error: None)
    12
    """
    while (line := next_line()) is not None:
        if put is not None and line.strip().lower() in AGAIN:
            put()
            continue
        try:
            return read(line.strip())
        except (ValueError, WrongUse) as error:
            refuse(error)
    return None
