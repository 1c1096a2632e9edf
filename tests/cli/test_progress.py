"""Long work tells how far it is: at a terminal only, without colour, and wiped away afterwards."""

from __future__ import annotations

import io
import re
import sys
import time

import pytest

from diag.cli.terminal.progress import patience, progress
from tests.cli.terminals import terminal, widest


def waited(columns: int, seconds: float, term: str = "xterm", plain: bool = False) -> str:
    """Return what a terminal gets while work takes so long, silent for 0.02 s before a word."""
    with terminal(columns, term) as out, patience("Reading the rules", plain, quiet_s=0.02):
        time.sleep(seconds)
    return out.getvalue()


def test_long_silence_is_told_and_wiped_away() -> None:
    """What is told in time ends as blanks over all of it, with the cursor where it was."""
    said = waited(40, 0.3)
    told, blanks, rest = said.split("\r")[1:]
    assert told.startswith("Reading the rules ... ")
    assert (" " * len(told), "") == (blanks, rest)
    assert widest(told) < 40


def test_short_silence_is_told_by_nothing() -> None:
    """Work that is done before anybody minds leaves no mark."""
    with terminal(80) as out, patience("Reading the rules", quiet_s=5.0):
        pass
    assert "" == out.getvalue()


@pytest.mark.parametrize(("term", "plain"), [("dumb", False), ("xterm", True)])
def test_wheredrawn_are_not_redrawn_nothing_is_told(term: str, plain: bool) -> None:
    """A dumb terminal and a plain screen get no line that would have to be wiped away."""
    assert "" == waited(80, 0.1, term, plain)
    with terminal(80, term) as out, progress("Working the cases", plain) as step:
        step(0.5)
    assert "" == out.getvalue()


def test_a_plain_command_line_is_heard_before_the_command(monkeypatch: pytest.MonkeyPatch) -> None:
    """`--plain` counts for what comes before the command has its screen, as reading the rules."""
    monkeypatch.setattr("sys.argv", ["diag", "rules", "check", "--plain"])
    assert "" == waited(80, 0.1)


def test_a_pipe_gets_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither a bar nor a word goes into a pipe."""
    out = io.StringIO()
    monkeypatch.setattr(sys, "stderr", out)
    with patience("Reading the rules", quiet_s=0.01), progress("Working the cases") as step:
        step(0.5)
        time.sleep(0.05)
    assert "" == out.getvalue()


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_a_bar_fits_and_tells_the_time_left(columns: int) -> None:
    """Share and time left stand in one line that fits, and no letter has a colour."""
    with terminal(columns) as out, progress("Working the cases") as step:
        step(0.25)
        time.sleep(0.15)
        step(0.5)
        time.sleep(0.15)
    rows = [row for row in redrawn(out.getvalue()) if "Working the cases" in row]
    assert any("50%" in row for row in rows)
    assert any(":" in row for row in rows)
    assert max(map(widest, rows)) <= columns


def redrawn(said: str) -> list[str]:
    """Return the lines of a screen that was redrawn, free of escapes."""
    return re.split(r"[\r\n]", re.sub(r"\x1b\[[\d;?]*[A-Za-z]", "", said))


def fails() -> None:
    """Fail while something is told of."""
    with patience("Reading", quiet_s=0.01):
        time.sleep(0.1)
        raise ValueError("no")


def test_an_error_still_ends_the_wait() -> None:
    """Where work fails, what was told is wiped away before the error goes on."""
    with terminal(80) as out, pytest.raises(ValueError, match="no"):
        fails()
    assert out.getvalue().endswith("\r")
