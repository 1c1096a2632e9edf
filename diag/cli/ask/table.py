"""`enter`: readings in one's own order, typed in one go, each judged as it comes."""

from __future__ import annotations

from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.session.commands import Command, read_line
from diag.session.controller import SessionController
from diag.session.prompt import StopWork
from diag.session.result import shown, told_fact
from diag.session.slips import TakesDangerBack

ENDS = ("", "done", "end")


def take_table(controller: SessionController, screen: Screen, source: Source) -> str:
    """Take lines `FINDING: ANSWER` up to an empty one; say of each what follows from it.

    A line that cannot be read is told and left out. A danger ends the table: it stops the work.
    So does a word of the prompt, which is returned to be obeyed; else nothing is.
    """
    screen.say("Type a line for each reading, FINDING: ANSWER; an empty line ends the table.")
    while (line := source.read("")) is not None:
        text = line.strip()
        if text.lower() in ENDS:
            return ""
        if not {":", "="} & set(text) and isinstance(read_line(text), Command):
            return text
        _take(controller, screen, text)
        if isinstance(controller.prompt, StopWork):
            return ""
    return ""


def _take(controller: SessionController, screen: Screen, text: str) -> None:
    state = controller.state
    name, _, answer = text.partition("=" if "=" in text and ":" not in text else ":")
    before = set(map(str, state.chain.facts))
    try:
        finding = controller.change(f"{name} = {answer}")
    except TakesDangerBack as found:
        screen.say(f"`{name.strip()}` would take a danger back; `change` corrects it. Left out.")
        del found
        return
    except ValueError as error:
        screen.say(f"{sentence(str(error))} Left out.")
        return
    follows = [told_fact(state, one) for one in state.chain.facts if str(one) not in before]
    so = f" So: {'; '.join(follows)}." if follows else ""
    screen.say(f"`{finding}`: {shown(state.readings[finding].value)}.{so}")
