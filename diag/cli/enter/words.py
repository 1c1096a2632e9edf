"""Words that work at a box of a sheet as they do in a session: to look, to correct, to note."""

from __future__ import annotations

from collections.abc import Callable

from diag.authoring.sequence.boxes_text import ringed
from diag.cli.account.pictures import show_pictures
from diag.cli.account.where import show_page, show_suspects
from diag.cli.account.why_not import show_why_not
from diag.cli.ask.views import show_how_to_take, show_why
from diag.cli.ask.why import show_derivation
from diag.cli.ask.words.correcting import Corrector
from diag.cli.terminal.screen import Screen
from diag.session.commands import Command
from diag.session.controller import SessionController
from diag.session.prompt import AskFinding, AskTogether

WAYS = (
    "Enter alone leaves a box open, `skip check` the rest of its check. `help` shows how it is "
    "read, `where` what is typed in; `danger` tells of one; `undo` goes back, `change` corrects; "
    "`end` leaves the rest open, `leave` saves and stops."
)


def obey(
    command: Command,
    asked: AskFinding | AskTogether,
    controller: SessionController,
    screen: Screen,
    corrector: Corrector,
) -> None:
    """Do what a word says; `ValueError` for one that is for the session alone."""
    state, said = controller.state, command.argument
    acts: dict[str, Callable[[], object]] = {
        "again": lambda: None,
        "help": lambda: _help(screen, controller, asked),
        "where": lambda: show_page(screen, state, said),
        "suspects": lambda: show_suspects(screen, state),
        "picture": lambda: show_pictures(screen, state, said),
        "why-not": lambda: show_why_not(screen, state, said),
        "why": lambda: (
            show_derivation(screen, state, said) if said else show_why(screen, state, asked)
        ),
        "change": lambda: corrector.change(said),
        "note": lambda: controller.note(said),
    }
    if command.word not in acts:
        raise ValueError(
            f"`{command.word}` works in the session, once the sheet is typed in. {WAYS}"
        )
    acts[command.word]()
    if command.word == "note":
        screen.say("Noted.")


def _help(screen: Screen, controller: SessionController, asked: AskFinding | AskTogether) -> None:
    if asked.check is not None:
        screen.say(asked.check.do)
    if isinstance(asked, AskFinding):
        screen.table(ringed(asked.finding))
        show_how_to_take(screen, controller.state, asked.finding)
    screen.say(WAYS)
