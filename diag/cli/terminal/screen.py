"""Plain text to a terminal or a pipe: 80 columns, no escape codes but bold, and that only there."""

from __future__ import annotations

import os
import sys
import textwrap
from collections.abc import Iterable
from typing import TextIO

from diag.cli.terminal.printable import printable

WIDTH = 79


def sentence(message: str) -> str:
    """Write a message as a sentence: a capital before, a stop behind unless it has one.

    >>> sentence("was it 10.6 V?")
    'Was it 10.6 V?'
    """
    stop = "" if message.endswith((".", "?", "!")) else "."
    return message[:1].upper() + message[1:] + stop


class Screen:
    """Where a session's text goes. `plain` leaves out rules and bold, for screen readers."""

    def __init__(self, out: TextIO | None = None, plain: bool = False) -> None:
        self._out = out or sys.stdout
        self._plain = plain
        terminal = self._out.isatty() and "NO_COLOR" not in os.environ
        self._bold = terminal and not plain and os.environ.get("TERM") != "dumb"

    def say(self, text: str = "", indent: int = 0, bold: bool = False) -> None:
        """Write a paragraph, wrapped."""
        pad = " " * indent
        for part in printable(text).split("\n"):
            wrapped = textwrap.fill(part, WIDTH, initial_indent=pad, subsequent_indent=pad)
            line = wrapped or ""
            self._out.write((f"\x1b[1m{line}\x1b[0m" if bold and self._bold else line) + "\n")

    def item(self, label: str, text: str, indent: int = 2, width: int = 14) -> None:
        """Write a labelled line; what is too long goes on below the text's own start."""
        head = " " * indent + printable(label).ljust(width) + " "
        body = textwrap.wrap(printable(text), WIDTH - len(head)) or [""]
        self._out.write(head + body[0] + "\n")
        for more in body[1:]:
            self._out.write(" " * len(head) + more + "\n")

    def heading(self, text: str) -> None:
        """Write a heading; a rule beside it unless plain."""
        mark = "" if self._plain else "-- "
        lines = textwrap.wrap(
            printable(text), WIDTH, initial_indent=mark, subsequent_indent=" " * len(mark)
        )
        if not self._plain:
            lines[-1] = f"{lines[-1]} ".ljust(WIDTH, "-").rstrip()
        self._out.write("\n")
        for line in lines:
            self._out.write((f"\x1b[1m{line}\x1b[0m" if self._bold else line) + "\n")

    def table(self, rows: Iterable[tuple[str, ...]]) -> None:
        """Write rows in columns as wide as their widest cell; the last one is wrapped."""
        cells = [tuple(printable(cell) for cell in row) for row in rows]
        if not cells:
            return
        widths = [max(len(row[column]) for row in cells) for column in range(len(cells[0]) - 1)]
        for row in cells:
            head = "  " + "".join(
                cell.ljust(width) + "  " for cell, width in zip(row, widths, strict=False)
            )
            body = textwrap.wrap(row[-1], max(20, WIDTH - len(head))) or [""]
            self._out.write((head + body[0]).rstrip() + "\n")
            for more in body[1:]:
                self._out.write(" " * len(head) + more + "\n")

    def ask(self, mark: str = "> ") -> None:
        """Write the mark at which the user types."""
        self._out.write(mark)
        self._out.flush()
