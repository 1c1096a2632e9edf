"""Help as wide as the terminal, for the commands and for wrong use of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import typer

from diag.cli.terminal.wrapping import labelled, wrap

WIDEST_HELP = 100


_Formatter: Any = typer.Context.formatter_class


class Help(_Formatter):  # type: ignore[misc]
    """Help as wide as the terminal, however narrow; 80 in a pipe."""

    def __init__(self, **_: object) -> None:
        from diag.cli.terminal.screen import Screen

        super().__init__(width=min(Screen().width, WIDEST_HELP))

    def write_usage(self, prog: str, args: str = "", prefix: str | None = None) -> None:
        """Write the line that shows how the command is typed."""
        head = f"{prefix or 'Usage: '}{prog} "
        self._write(wrap(args, self.width, head, " " * min(len(head), self.width // 3)))

    def write_text(self, text: str) -> None:
        """Write paragraphs."""
        pad = " " * self.current_indent
        for part in text.split("\n\n"):
            self._write(wrap(part, self.width, pad, pad))

    def write_dl(
        self, rows: Sequence[tuple[str, str]], col_max: int = 30, col_spacing: int = 2
    ) -> None:
        """Write options or commands, each with what it is for."""
        column = min(max(len(name) for name, _ in rows), col_max)
        for name, text in rows:
            self._write(labelled(name, text, self.width, self.current_indent, column + 1))

    def _write(self, lines: Sequence[str]) -> None:
        self.write("".join(f"{line}\n" for line in lines))


class Context(typer.Context):
    """Where a command runs; its help is laid out by `Help`."""

    formatter_class = Help
