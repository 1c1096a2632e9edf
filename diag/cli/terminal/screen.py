"""The one screen: text to a terminal, as wide as that is, or to a pipe, 80 wide and plain.

What is written is data: no markup in it is read, and no control code gets through. `rich` is
imported only where a letter's width, a style or a progress bar is wanted.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from typing import TextIO

from diag.cli.terminal.wrapping import (
    LEAST_CELLS,
    boxed,
    columns,
    filled,
    labelled,
    outlined,
    ruled,
    wrap,
)
from diag.model.phrasing import capital, printable

PIPE, WIDEST, ROWS = 80, 200, 24
KEPT_ROWS, LEAST_ROWS = 3, 8
"""Lines left beside a page for what says that there is more, and lines of a page at least."""
BOLD, ALARM, REVERSED = "bold", "bold color(231) on color(160)", "bold reverse"
"""Styles: an alarm brings its ground along, to read on any; reversed where colours are few."""
ALARM_MARK = "!!"


def sentence(message: str) -> str:
    """Write a message as a sentence: a capital before, a stop behind unless it has one.

    >>> sentence("was it 10.6 V?")
    'Was it 10.6 V?'
    """
    stop = "" if message.endswith((".", "?", "!")) else "."
    return capital(message) + stop


def terminal_rows(out: TextIO) -> int:
    """Return how many lines the terminal has now, as `LINES` says if that is set."""
    return _set_by_hand("LINES") or _terminal(out).lines or ROWS


def terminal_columns(out: TextIO) -> int:
    """Return how many columns the terminal has now, as `COLUMNS` says if that is set."""
    return _set_by_hand("COLUMNS") or _terminal(out).columns or PIPE


def _set_by_hand(variable: str) -> int:
    """Return a size that the environment sets; 0 where it sets none."""
    said = os.environ.get(variable, "")
    return int(said[:6]) if said.isascii() and said.isdigit() else 0


def _terminal(out: TextIO) -> os.terminal_size:
    """Return the size of the terminal written to; 0 by 0 where it is none."""
    try:
        return os.get_terminal_size(out.fileno())
    except (OSError, ValueError):
        return os.terminal_size((0, 0))


def _many_colours() -> bool:
    """Return whether the terminal says that it has the fixed palette of 256 colours, or more."""
    return "256" in os.environ.get("TERM", "") or bool(os.environ.get("COLORTERM"))


class Screen:
    """Where a command's text goes. `plain` leaves out drawing and styles, for screen readers."""

    def __init__(self, out: TextIO | None = None, plain: bool = False) -> None:
        self._out = out or sys.stdout
        self._terminal = self._out.isatty()
        self._held: list[tuple[str, str]] | None = None
        self.draws = self._terminal and not plain
        """Whether lines and bars are drawn: on a terminal, unless it is to be plain."""
        styled = "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"
        self._styled = self.draws and styled

    @property
    def width(self) -> int:
        """Return the cells that a line may take now.

        The last column stays free, as some terminals begin a new line once it is taken.
        """
        wide = terminal_columns(self._out) if self._terminal else PIPE
        return max(LEAST_CELLS, min(wide, WIDEST) - 1)

    def say(self, text: str = "", indent: int = 0, bold: bool = False) -> None:
        """Write a paragraph, wrapped."""
        pad = " " * indent
        for part in printable(text).split("\n"):
            self._write(wrap(part, self.width, pad, pad), BOLD if bold else "")

    def item(self, label: str, text: str, indent: int = 2, width: int = 14) -> None:
        """Write a labelled line; what is too long goes on below the text's own start."""
        self._write(labelled(printable(label), printable(text), self.width, indent, width))

    def heading(self, text: str, alarm: bool = False) -> None:
        """Write a heading, a line drawn beside it where lines are drawn; `alarm` to stand out.

        An alarm does so by its marks already: a block of its own, or both its ends marked.
        """
        if alarm:
            self._alarm(printable(text))
            return
        mark, width = "-- " if self.draws else "", self.width
        lines = wrap(printable(text), width, mark, " " * len(mark))
        if self.draws:
            lines[-1] = ruled(lines[-1], width)
        self._write([""])
        self._write(lines, BOLD)

    def _alarm(self, text: str) -> None:
        width, mark = self.width, f"{ALARM_MARK} "
        self._write([""])
        if not self.draws:
            self._write(wrap(f"{mark}{text} {ALARM_MARK}", width))
            return
        edge = "!" * width
        inside = wrap(text, width - len(ALARM_MARK) - 1, mark, mark)
        block = [filled(line, width - len(ALARM_MARK)) + ALARM_MARK for line in inside]
        self._write([edge, *block, edge], ALARM if _many_colours() else REVERSED)

    def box(self, title: str, paragraphs: Iterable[str]) -> None:
        """Write paragraphs in a box, or below a heading where nothing is drawn."""
        if self.draws:
            clean = [printable(text) for text in paragraphs]
            self._write(boxed(printable(title), clean, self.width))
            return
        self.say(f"{title}:", bold=True)
        for text in paragraphs:
            self.say(text, indent=2)

    def table(self, rows: Iterable[tuple[str, ...]]) -> None:
        """Write rows in columns as wide as their widest cell; the last one is wrapped."""
        clean = [tuple(printable(cell) for cell in row) for row in rows]
        self._write(columns(clean, self.width))

    def outline(self, line: str) -> None:
        """Write a line that brings its own indent and list mark."""
        self._write(outlined(printable(line), self.width))

    def document(self, line: str) -> None:
        """Write a line of a document that other programs read: in a pipe it stays one line."""
        clean = printable(line)
        self._write(outlined(clean, self.width) if self._terminal else [clean])

    def lines(self, lines: Iterable[str]) -> None:
        """Write lines that the caller laid out for this screen's width."""
        self._write(printable(line, keep="") for line in lines)

    def scrolls(self, lines: int) -> bool:
        """Return whether the first of so many lines are gone once the last are on the screen."""
        return self.draws and lines > max(LEAST_ROWS, terminal_rows(self._out) - 1)

    def page(self, number: str, word: str, write: Callable[[], None]) -> None:
        """Show one page, by its number as typed, of what `write` writes to this screen.

        `word` is what a user types before the number of the next page. Without a terminal, or on a
        plain screen, all of it is one page. Raises `ValueError` for a page that there is not.
        """
        held: list[tuple[str, str]] = []
        self._held = held
        try:
            write()
        finally:
            self._held = None
        rows = max(LEAST_ROWS, terminal_rows(self._out) - KEPT_ROWS) if self.draws else len(held)
        pages = max(1, -(-len(held) // max(1, rows)))
        wanted = number.strip() or "1"
        many = "is one page" if pages == 1 else f"are {pages} pages"
        if not (wanted.isascii() and wanted.isdigit() and 1 <= int(wanted[:6]) <= pages):
            raise ValueError(f"there {many} of that; type `{word}` and the number of one")
        at = int(wanted[:6])
        for style, line in held[(at - 1) * rows : at * rows]:
            self._write([line], style)
        if at < pages:
            self.say(f"Page {at} of {pages}; `{word} {at + 1}` shows the next.", bold=True)

    def _write(self, lines: Iterable[str], style: str = "") -> None:
        for line in lines:
            if self._held is not None:
                self._held.append((style, line))
                continue
            self._out.write((self._in(style, line) if style and line else line) + "\n")

    def _in(self, style: str, line: str) -> str:
        if not self._styled:
            return line
        from rich.color import ColorSystem
        from rich.style import Style

        return Style.parse(style).render(line, color_system=ColorSystem.EIGHT_BIT)
