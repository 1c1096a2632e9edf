"""`diag ask --demo`: an invented unit whose bench readings come with it."""

from __future__ import annotations

import sys

from diag.cli.ask.conversation import Conversation
from diag.cli.places import shipped_rules
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Keyboard
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.rulebook import load_cases
from diag.session.controller import SessionController
from diag.session.prompt import AskFinding, AskTogether, ProposeRepair, RunAgain, StopWork
from diag.session.result import shown
from diag.session.state import SessionState

DEMO_FILE = ("cases", "demo.yaml")
BEFORE, AFTER = "LIB-03 on the bench", "LIB-03 after the repair"


class DemoBench:
    """What the invented bench shows: Enter takes it, a typed line overrides it."""

    def __init__(self, before: Case, after: Case, screen: Screen) -> None:
        self._cases = (before, after)
        self._screen = screen
        self._keyboard = Keyboard() if sys.stdin and sys.stdin.isatty() else None

    def offer(self, controller: SessionController) -> str:
        """Return what the bench shows for this prompt."""
        prompt, state = controller.prompt, controller.state
        shows = self._cases[min(state.stage, 1)].readings
        if isinstance(prompt, AskFinding):
            value = shows.get(prompt.finding.id)
            return shown(value) if value is not None else "unsure"
        if isinstance(prompt, AskTogether):
            present = [one.id for one in prompt.findings if shows.get(one.id) == "yes"]
            return ", ".join(present) or "none"
        if isinstance(prompt, StopWork):
            return "done"
        return "done" if isinstance(prompt, ProposeRepair | RunAgain) else ""

    def read(self, offered: str) -> str | None:
        """Return the line typed, or what is offered where there is no keyboard."""
        if self._keyboard is not None:
            return self._keyboard.read(offered)
        self._screen.say(f"> {offered}")
        return offered or None


def run_demo(book: Rulebook, screen: Screen) -> int:
    """Run the demonstration; nothing of it is kept."""
    path = shipped_rules().joinpath(*DEMO_FILE)
    cases = {case.id: case for case in load_cases(path, book)}
    before = cases[BEFORE]
    unit = book.units[before.unit]
    screen.say(
        "A demonstration: the unit, its workshop and its readings are invented. Enter takes what "
        "the bench shows; type over it to try something else. Nothing is kept."
    )
    screen.say(f"{unit.title}. The owner says: {book.complaints[before.complaint].title}.")
    state = SessionState(book, unit, before.complaint)
    controller = SessionController(state, lambda _: None, lambda: "")
    Conversation(controller, screen, DemoBench(before, cases[AFTER], screen)).run()
    return 0
