"""Dangers told in plain words, read back before anything else is made of a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.pick import LEAVE
from diag.cli.terminal.prompts import show_do_now
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.model.rulebook import Finding
from diag.session.commands import Command, read_line
from diag.session.controller import SessionController
from diag.session.prompt import StopWork
from diag.session.result import shown
from diag.session.steering.lists import places_of

if TYPE_CHECKING:  # imported once something is said, so that the first question comes at once
    from diag.session.hearing import Ear, HeardDanger

MOST = 3
"""How many dangers of one line are read back."""
LONGEST_ECHO = 200
HEARD = frozenset({"say", "note", "danger"})
"""Commands whose text is listened to."""
YES = ("yes", "y", "yep", "yeah", "right", "correct", "it is")
NO = ("no", "n", "nope", "wrong", "it is not")


class Leaves(Exception):
    """The user leaves in the middle of a read-back, or the input ends there."""


def read_back(text: str, one: HeardDanger, screen: Screen, source: Source) -> bool:
    """Say what was understood and ask whether it is so; raises `Leaves`."""
    screen.say(f"You said: {text[:LONGEST_ECHO]}")
    screen.say(f"That would be a danger: {one.danger.title}.", bold=True)
    screen.say(one.finding.ask)
    if look := one.finding.choices.get(one.state):
        screen.say(f"{shown(one.state)}: {look}", indent=2)
    return is_so(screen, source, f"Is the answer `{shown(one.state)}`? [yes/no]")


def is_so(screen: Screen, source: Source, question: str = "Is that so? [yes/no]") -> bool:
    """Ask for yes or no, once more at Enter alone or `again`; raises `Leaves`."""

    def put() -> None:
        screen.say(question, bold=True)

    put()
    said = ask_until(lambda: source.read(""), so_or_not, lambda error: _refuse(screen, error), put)
    if said is None:
        raise Leaves
    return said


def confirmed(
    text: str, heard: Sequence[HeardDanger], screen: Screen, source: Source
) -> tuple[HeardDanger, ...]:
    """Return which dangers heard in a text the user confirms; for a text before a session.

    Each is told what to do about at once, before the next is asked for.
    """
    found = []
    for one in heard[:MOST]:
        if read_back(text, one, screen, source):
            show_do_now(screen, one.danger)
            found.append(one)
    return tuple(found)


class DangerEar:
    """Listens to a session's lines for danger, with the one `ear` that hears the rest as well."""

    def __init__(
        self,
        controller: SessionController,
        screen: Screen,
        source: Source,
        ear: Ear | None = None,
    ) -> None:
        self._controller = controller
        self._screen = screen
        self._source = source
        self._ear = ear
        self._waiting: list[tuple[str, HeardDanger]] = []

    def take(self, line: str) -> bool:
        """Read back what a line tells of danger; return whether it was one and is recorded.

        An answer just as it was asked for, and any command but those with a text of their own,
        goes on unheard, as does what the user says is not so. Raises `Leaves`.
        """
        from diag.session.hearing import answers

        read = read_line(line)
        if isinstance(read, Command):
            text = read.argument if read.word in HEARD else ""
        else:
            state, prompt = self._controller.state, self._controller.prompt
            text = "" if answers(prompt, read, state.unit.codes) else line
        heard = self.ear.hear_dangers(text) if text else ()
        self._waiting = [(text, one) for one in heard[:MOST] if not self._stops_already(one)]
        return self._up_to_the_first()

    @property
    def ear(self) -> Ear:
        """Return the ear that was given, or one made when something is said first."""
        from diag.session.hearing import Ear

        self._ear = self._ear or Ear(self._controller.state.rulebook)
        return self._ear

    def go_on(self) -> bool:
        """Read back what else the last line told of, once no stop stands; return as `take` does."""
        return not isinstance(self._controller.prompt, StopWork) and self._up_to_the_first()

    def _up_to_the_first(self) -> bool:
        """Read back, one by one, up to the first that is so, and record that: it stops the work.

        What waits behind it is for `go_on`.
        """
        while self._waiting:
            text, one = self._waiting.pop(0)
            if read_back(text, one, self._screen, self._source):
                self._controller.volunteer(one.finding, one.state)
                return True
        return False

    def ask(self) -> None:
        """List what would be a danger, and record what the user says is so. Raises `Leaves`."""
        from diag.session.hearing import told_of

        book = self._controller.state.rulebook
        asked = list(dict.fromkeys((told.finding, told.state) for told in told_of(book)))

        def put() -> None:
            self._screen.say("Is any of this true now?", bold=True)
            for number, (name, state) in enumerate(asked, 1):
                finding = book.findings[name]
                look = finding.choices.get(state) if finding.kind == "choice" else ""
                self._screen.item(str(number), finding.ask + (f" {look}" if look else ""), width=3)
            self._screen.say("Type `none`, or those that are true: `1 3`, `1-3`, or by name.")

        put()
        chosen = ask_until(
            lambda: self._source.read(""),
            lambda line: _places(line, [_called(book.findings[name]) for name, _ in asked]),
            lambda error: _refuse(self._screen, error),
            put,
        )
        if chosen is None:
            raise Leaves
        for name, state in (asked[at] for at in chosen):
            self._controller.volunteer(book.findings[name], state)

    def _stops_already(self, one: HeardDanger) -> bool:
        """Return whether the stop that stands on the screen is for just this."""
        prompt = self._controller.prompt
        return isinstance(prompt, StopWork) and prompt.by == one.finding.id


def _called(finding: Finding) -> tuple[str, ...]:
    return (finding.id, *finding.words)


def so_or_not(line: str) -> bool:
    """Read the answer to a read-back: yes or no, and nothing else; raises `Leaves`."""
    text = line.lower()
    if text in LEAVE:
        raise Leaves
    if text not in (*YES, *NO):
        raise ValueError("type `yes` if that is so, `no` if it is not, or `leave`")
    return text in YES


def _places(line: str, names: Sequence[Sequence[str]]) -> tuple[int, ...]:
    """Read which entries of a list are meant; raises `Leaves`."""
    if line.lower() in LEAVE:
        raise Leaves
    return () if line.lower() in NO else places_of(line, names)


def _refuse(screen: Screen, error: ValueError | WrongUse) -> None:
    screen.say(sentence(str(error)))
