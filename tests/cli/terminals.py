"""Terminals of a known width, and texts as files and people may bring them."""

from __future__ import annotations

import io
import os
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout

from hypothesis import strategies as st

WIDE = ("暖房機の故障", "難", "한국어", "ｗｉｄｅ", "😀", "🔧🔧", "❤\ufe0f", "暖" * 130)
MARKS = ("e\u0301le\u0300ve", "\u0301\u0302", "\u200d")
TYPED = ("warm", "air", "--under-load", "12.4", "V", "-", "1.", "", "  ", "\n", "x" * 230)
ODD = ("[red]not markup[/red]", "\x1b[31m", "\t")
PIECES = (*WIDE, *MARKS, *TYPED, *ODD)

widths = st.integers(40, 200)
texts = st.lists(st.sampled_from(PIECES), min_size=1, max_size=12).map(" ".join)


class Terminal(io.StringIO):
    """A stream that says it is a terminal; it is as wide as `COLUMNS` says."""

    def isatty(self) -> bool:
        return True


class Lines:
    """A source of lines typed one after the other; then it ends."""

    def __init__(self, *lines: str) -> None:
        self._lines = iter(lines)

    def offer(self, controller: object) -> str:
        return ""

    def read(self, offered: str) -> str | None:
        return next(self._lines, None)


@contextmanager
def terminal(columns: int, term: str = "xterm") -> Iterator[Terminal]:
    """Put a terminal of so many columns in the place of output and errors."""
    before = dict(os.environ)
    os.environ |= {"COLUMNS": str(columns), "TERM": term, "NO_COLOR": "1"}
    out = Terminal()
    try:
        with redirect_stdout(out), redirect_stderr(out):
            yield out
    finally:
        os.environ.clear()
        os.environ.update(before)


def taken(line: str) -> int:
    """Return the columns that a line takes by the Unicode Character Database alone.

    East Asian Width (Unicode Standard Annex 11): wide and full-width letters take two; marks and
    format characters none.
    """
    return sum(
        2 if unicodedata.east_asian_width(each) in "WF"
        else 0 if unicodedata.category(each) in ("Mn", "Me", "Cf")
        else 1
        for each in line
    )  # fmt: skip


def widest(said: str) -> int:
    """Return the columns of the widest line."""
    return max(map(taken, said.split("\n")))
