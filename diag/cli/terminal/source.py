"""Where the lines of a session come from: a keyboard or a pipe."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Protocol

from diag.cli.guard import WrongUse
from diag.cli.terminal.line_editing import complete_with, readline
from diag.cli.terminal.screen import Screen

if TYPE_CHECKING:  # a session is not needed before its first line
    from diag.session.controller import SessionController

LONGEST_ECHO = 60


class Source(Protocol):
    """Where lines come from."""

    def offer(self, controller: SessionController) -> str:
        """Return what Enter alone would mean at this prompt; empty for nothing."""

    def read(self, offered: str) -> str | None:
        """Return the next line, None at the end of the input."""


def at_keyboard() -> bool:
    """Return whether somebody types at a terminal; `WrongUse` where there is no input at all."""
    if sys.stdin is None:
        raise WrongUse("there is no input to take answers from; run it at a terminal or in a pipe")
    return sys.stdin.isatty()


def source_of(screen: Screen) -> Source:
    """Return the keyboard, or the pipe that stands in its place."""
    return Keyboard() if at_keyboard() else Pipe(screen)


class NoMore:
    """Nobody answers: what is read has been read already."""

    def offer(self, controller: SessionController) -> str:
        """Offer nothing."""
        return ""

    def read(self, offered: str) -> str | None:
        """Return that the input has ended."""
        return None


class Keyboard:
    """Lines typed at a terminal."""

    def __init__(self) -> None:
        readline()  # gives `input` its line editing
        complete_with(lambda line: ())

    def offer(self, controller: SessionController) -> str:
        """Offer nothing, as what is not typed is not known; but let Tab complete what is."""
        from diag.session.steering.completing import completions

        book = controller.state.rulebook
        complete_with(lambda line: completions(book, controller.prompt, line))
        return ""

    def read(self, offered: str) -> str | None:
        """Read one line; None at Ctrl-D or Ctrl-C."""
        try:
            return input("> ")
        except (EOFError, KeyboardInterrupt):
            print()
            return None


class Pipe:
    """Lines from standard input, shown as they are taken."""

    def __init__(self, screen: Screen) -> None:
        self._screen = screen

    def offer(self, controller: SessionController) -> str:
        """Offer nothing: what is not in the input is not known."""
        return ""

    def read(self, offered: str) -> str | None:
        """Read one line and echo it; None at the end of the input."""
        line = sys.stdin.readline()
        if not line:
            return None
        self._screen.say("> " + line.rstrip("\n")[:LONGEST_ECHO])
        return line
