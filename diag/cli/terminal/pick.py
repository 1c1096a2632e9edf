"""One entry picked from a list, by its number or in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source


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
    screen.say(question, bold=True)
    listed = list(titles)
    for number, (name, title) in enumerate(titles.items(), 1):
        screen.item(f"{number}", f"{name}: {title}" if title else name, width=2)
    while True:
        text = source.read("")
        if text is None or text.strip() == "leave":
            return None
        typed = text.strip()
        if typed.isdigit():
            typed = listed[int(typed) - 1] if 0 < int(typed[:6]) <= len(listed) else typed
        if not typed:
            screen.say(f"Type a number from 1 to {len(listed)}, or a name.")
            continue
        try:
            return named(typed)
        except WrongUse as error:
            screen.say(sentence(str(error)))
