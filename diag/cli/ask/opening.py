"""What is said before a session begins: what is wrong, dangers, what is at hand, readings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from diag.cli.book import find_complaint
from diag.cli.guard import WrongUse
from diag.cli.terminal.pick import pick
from diag.cli.terminal.screen import Screen
from diag.cli.terminal.source import Source

if TYPE_CHECKING:  # imported where they are used, so that the first question comes at once
    from diag.model.rulebook import Rulebook
    from diag.session.controller import SessionController
    from diag.session.hearing import HeardDanger
    from diag.session.journal.events import Answered, Equipped


@dataclass(slots=True)
class OpeningWords:
    """What was told beside the complaint, before the session began."""

    lines: list[str] = field(default_factory=list)
    dangers: list[HeardDanger] = field(default_factory=list)
    """Read back and confirmed."""
    answers: tuple[Answered, ...] = ()
    """Those of a file of readings."""
    at_hand: Equipped | None = None
    """Who works where and with what, where that is known."""

    def begin(self, controller: SessionController) -> None:
        """Record what is sure already."""
        if self.at_hand is not None:
            controller.record(self.at_hand)
        for answer in self.answers:
            controller.record(answer)
        for one in self.dangers:
            controller.volunteer(one.finding, one.state)


def said_to_be_wrong(
    book: Rulebook, complaint: str | None, told: OpeningWords, screen: Screen, source: Source
) -> str | None:
    """Return the complaint, given or picked; what is told of danger comes before it."""
    if complaint:
        hear_dangers_in(book, complaint, told, screen, source)
        return find_complaint(book, complaint)

    def named(text: str) -> str:
        hear_dangers_in(book, text, told, screen, source)
        return named_in(book, text, told.lines)

    titles = {name: complaint.title for name, complaint in book.complaints.items()}
    return pick(screen, source, "What does the owner say is wrong?", titles, named)


def hear_dangers_in(
    book: Rulebook, text: str, told: OpeningWords, screen: Screen, source: Source
) -> None:
    """Keep the dangers that a text tells of, read back, and say at once what to do now."""
    wanted = " ".join(text.lower().split())
    if any(wanted in (name, one.title.lower()) for name, one in book.complaints.items()):
        return
    from diag.cli.ask.dangers import confirmed, show_what_to_do

    sure = confirmed(text, book, screen, source)
    told.dangers += sure
    for one in sure:
        show_what_to_do(screen, one.danger)


def named_in(book: Rulebook, text: str, told: list[str]) -> str:
    """Return the complaint that the text names; what else it tells is kept in `told`."""
    from diag.session.free_text import complaint_in

    try:
        return find_complaint(book, text)
    except WrongUse:
        matched = complaint_in(text, book)
        if not matched:
            raise
        told.append(text)
        return matched
