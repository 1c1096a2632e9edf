"""One entry picked from a list, by its number or in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.line_editing import complete_with
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Keyboard, Source

LEAVE = ("leave", "quit", "exit")


def pick(
    screen: Screen,
    source: Source,
    question: str,
    titles: Mapping[str, str],
    named: Callable[[str], str],
) -> str | None:
    """Let the user pick one of `titles` by number or by words that `named` knows.

    Return its id; None when the input ends, or at `leave`.
    """
    listed = list(titles)
    if isinstance(source, Keyboard):
        complete_with(lambda line: [one for one in titles if one.startswith(line.lstrip())])

    def put() -> None:
        screen.say(question, bold=True)
        for number, (name, title) in enumerate(titles.items(), 1):
            screen.item(f"{number}", f"{name}: {title}" if title else name, width=2)
        if screen.scrolls(len(titles) + 1):
            screen.say(f"{question} Type a number, or say it in words.", bold=True)

    def read(text: str) -> str | None:
        if text.lower() in LEAVE:
            return None
        if not text:
            raise WrongUse(f"type a number from 1 to {len(listed)}, or a name")
        return listed[_number(text, len(listed)) - 1] if text.isdigit() else named(text)

    put()
    return ask_until(
        lambda: source.read(""), read, lambda error: screen.say(sentence(str(error))), put
    )


def _number(text: str, count: int) -> int:
    """Return a number typed at a list of `count` entries; `WrongUse` for any other."""
    number = int(text) if text.isascii() and len(text) <= len(str(count)) else 0
    if not 0 < number <= count:
        raise WrongUse(f"there is no number `{text[:20]}`; type one from 1 to {count}, or a name")
    return number
