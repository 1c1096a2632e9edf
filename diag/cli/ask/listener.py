"""Listens for what is said in other words than were asked for, and records what is so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from diag.cli.ask.dangers import DangerEar
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.prompt import AskFinding, Prompt, StopWork
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
        from diag.cli.ask.heard import confirmed_facts, told

        book = self._controller.state.rulebook
        heard = self._dangers.ear.hear(text, prompt)
        if not (heard.facts or heard.choices):
            return False
        new = tuple(one for one in heard.facts if not self._stands(one, prompt))
        if not (new or heard.choices):
            self._screen.say(
                f"Taken down before: {' '.join(told(one, book) for one in heard.facts)}"
            )
            return True
        heard = replace(heard, facts=new)
        facts = confirmed_facts(text, heard, book, self._screen, self._source)
        self.record(facts)
        if not facts:
            self._screen.say("Nothing is taken down. Say it in other words, or go on.")
        return True

    def _stands(self, one: HeardFact, prompt: Prompt | None) -> bool:
        """Return whether just that was taken down before, and is not what is asked now."""
        state = self._controller.state
        if one.complaint:
            return one.complaint in state.complaints
        asked = isinstance(prompt, AskFinding) and prompt.finding.id == one.finding
        reading = state.readings.get(one.finding)
        if asked or reading is None or reading.stage != state.stage:
            return False
        return reading.value == one.value

    def record(self, facts: Sequence[HeardFact]) -> None:
        """Record what was heard and confirmed: complaints beside those before, then findings."""
        told = [one.complaint for one in facts if one.complaint]
        known = self._controller.state.complaints
        if not set(told) <= set(known):
            self._controller.complain((*known, *told))
        findings = self._controller.state.rulebook.findings
        answers = [(findings[one.finding], one.value) for one in facts if one.value is not None]
        for finding, value in answers:
            if said := unlisted(finding, value, self._controller.state):
                self._screen.say(sentence(said))
        if answers:
            self._controller.volunteer_together(answers)
