"""Listens for what is said in other words than were asked for, and records what is so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from diag.cli.ask.dangers import DangerEar
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.prompt import Prompt, StopWork
from diag.session.slips import NotUnderstood, unlisted

if TYPE_CHECKING:  # imported once something is said, so that the first question comes at once
    from diag.session.hearing import HeardFact


class Listener:
    """Reads back complaints and readings told in plain words, and takes what is confirmed."""

    def __init__(
        self,
        controller: SessionController,
        screen: Screen,
        source: Source,
        dangers: DangerEar,
    ) -> None:
        self._controller, self._screen, self._source = controller, screen, source
        self._dangers = dangers

    def hear(self, text: str) -> None:
        """Hear free text, read it back, and take what the user confirms."""
        if not self._take(text):
            raise NotUnderstood("none of the findings is named there; `change` takes them by name")

    def take(self, text: str, line: Line) -> bool:
        """Return whether a line that is no answer as it was asked for told of something so."""
        from diag.session.hearing import answers

        prompt, codes = self._controller.prompt, self._controller.state.unit.codes
        if isinstance(prompt, StopWork) or answers(prompt, line, codes):
            return False
        return self._take(text, prompt)

    def _take(self, text: str, prompt: Prompt | None = None) -> bool:
        from diag.cli.ask.heard import confirmed_facts

        book = self._controller.state.rulebook
        heard = self._dangers.ear.hear(text, prompt)
        if not (heard.facts or heard.choices):
            return False
        facts = confirmed_facts(text, heard, book, self._screen, self._source)
        self.record(facts)
        if not facts:
            self._screen.say("Nothing is taken down. Say it in other words, or go on.")
        return True

    def record(self, facts: Sequence[HeardFact]) -> None:
        """Record what was heard and confirmed: complaints beside those before, then findings."""
        told = [one.complaint for one in facts if one.complaint]
        known = self._controller.state.complaints
        if not set(told) <= set(known):
            self._controller.complain((*known, *told))
        for one in facts:
            if one.value is not None:
                finding = self._controller.state.rulebook.findings[one.finding]
                if said := unlisted(finding, one.value, self._controller.state):
                    self._screen.say(sentence(said))
                self._controller.volunteer(finding, one.value)
