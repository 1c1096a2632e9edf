"""What is said before a session begins: what is wrong, dangers, what is at hand, readings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from diag.cli.book import find_complaint
from diag.cli.guard import WrongUse
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source

if TYPE_CHECKING:  # imported where they are used, so that the first question comes at once
    from diag.model.rulebook import Rulebook
    from diag.session.controller import SessionController
    from diag.session.hearing import Ear, HeardDanger, HeardFact
    from diag.session.journal.events import Equipped, Event


@dataclass(slots=True)
class OpeningWords:
    """What was told beside the complaint, before the session began."""

    facts: list[HeardFact] = field(default_factory=list)
    """Complaints and findings, read back and confirmed."""
    dangers: list[HeardDanger] = field(default_factory=list)
    """Read back and confirmed."""
    answers: tuple[Event, ...] = ()
    """What a file of readings says."""
    at_hand: Equipped | None = None
    """Who works where and with what, where that is known."""
    words: str = ""
    """The complaint in the owner's words, as it was typed; empty where it was picked by number."""
    job: str = ""
    """The job that the session is to belong to; empty for a new one."""
    ear: Ear | None = None
    """What was listened with, for the session to go on with."""
    by_rules_alone: bool = False
    """True where the record of jobs is to be left out."""

    @property
    def complaints(self) -> list[str]:
        """Return what is complained of, in the order in which it was told."""
        return [one.complaint for one in self.facts if one.complaint]

    def begin(self, controller: SessionController) -> None:
        """Record what is sure already, danger first; what was heard beside it comes after."""
        if self.at_hand is not None:
            controller.record(self.at_hand)
        for answer in self.answers:
            controller.record(answer)
        for one in self.dangers:
            controller.volunteer(one.finding, one.state)


def said_to_be_wrong(
    book: Rulebook, complaint: str | None, told: OpeningWords, screen: Screen, source: Source
) -> str | None:
    """Return the complaint, given or picked; what else is told is kept, danger before all."""

    def named(text: str) -> str:
        name = heard(text)
        told.words = text
        return name

    def heard(text: str) -> str:
        try:
            return find_complaint(book, text)
        except WrongUse:
            known = len(told.facts) + len(told.dangers)
            anything = _hear(book, text, told, screen, source)
            if not told.complaints and len(told.facts) + len(told.dangers) > known:
                raise WrongUse("that is kept; say now what is complained of") from None
            if not told.complaints and anything:
                raise WrongUse("no complaint is taken down; tell it in other words") from None
            if not told.complaints:
                raise
            return told.complaints[0]

    if complaint:
        try:
            return named(complaint)
        except WrongUse as error:
            if not (told.facts or told.dangers or told.job):
                raise  # what stands in a job was told to people: it is asked for again
            screen.say(sentence(str(error)))
    titles = {name: complaint.title for name, complaint in book.complaints.items()}
    return pick(screen, source, "What does the owner say is wrong?", titles, named)


def _hear(book: Rulebook, text: str, told: OpeningWords, screen: Screen, source: Source) -> bool:
    """Keep what a text tells of, read back; say at once what to do now about a danger.

    Return whether it told of anything.
    """
    from diag.cli.ask.dangers import confirmed
    from diag.cli.ask.heard import confirmed_facts
    from diag.session.hearing import Ear

    told.ear = told.ear or Ear(book)
    heard = told.ear.hear(text)
    told.dangers += confirmed(text, heard.dangers, screen, source)
    told.facts += confirmed_facts(text, heard, book, screen, source)
    return bool(heard.dangers or heard.facts or heard.choices)
