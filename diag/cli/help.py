"""Help as wide as the terminal, for the commands and for wrong use of them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

import typer

from diag.cli.terminal.wrapping import labelled, wrap

WIDEST_HELP = 100
_PART = re.compile(r"--\S+(?: (?!-)(?:'[^']*'|\S)+)?|(?:'[^']*'|\S)+")
"""A word of a command, quoted or not; an option with its value."""
_NEXT, _GOES_ON = " " * 6, " \\"


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
    """Where a command runs; its help is laid out by `Help`, with the command's examples below."""

    formatter_class = Help

    def get_help(self) -> str:
        """Return the help of the command."""
        from diag.cli.examples import COMMAND_EXAMPLES

        command = self.command_path.partition(" ")[2]
        width, lines = Help().width, list[str]()
        for does, typed in COMMAND_EXAMPLES.get(command, ()):
            lines += wrap(f"{does}:", width, "  ", "  ")
            lines += typed_lines(typed, width)
        told: str = super().get_help()
        return "\n".join((told, "", "Examples:", *lines)) if lines else told


def typed_lines(command: str, width: int) -> Iterator[str]:
    r"""Yield a command as lines that a shell takes for one, broken before an option or a word.

    >>> list(typed_lines("diag sequence noise --json", 24))
    ['    diag sequence \\', '      noise --json']
    """
    lines = [""]
    for part in _PART.findall(command):
        if lines[-1] and len(f"{lines[-1]} {part}") > width - len(_NEXT) - len(_GOES_ON):
            lines.append("")
        lines[-1] = f"{lines[-1]} {part}".lstrip()
    for at, line in enumerate(lines):
        pad, end = _NEXT if at else "    ", _GOES_ON if line is not lines[-1] else ""
        yield from wrap(line + end, width, pad, pad)
