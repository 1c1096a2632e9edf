"""What was heard in a line, read back, and what of it the user says is so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from diag.cli.ask.dangers import LONGEST_ECHO, Leaves, is_so
from diag.cli.guard import WrongUse
from diag.cli.terminal.asking import ask_until
from diag.cli.terminal.pick import LEAVE
from diag.cli.terminal.screen import Screen, sentence
from diag.cli.terminal.source import Source
from diag.model.amounts import NotAnAmount, amount
from diag.model.quantity import DIMENSIONLESS
from diag.model.rulebook import Rulebook
from diag.session.result import shown
from diag.session.steering.lists import NONE_WORDS

if TYPE_CHECKING:  # imported once something is said, so that the first question comes at once
    from diag.session.hearing import HeardFact, Hearing


def confirmed_facts(
    text: str, hearing: Hearing, book: Rulebook, screen: Screen, source: Source
) -> tuple[HeardFact, ...]:
    """Read back what was heard; return what the user says is so. Raises `Leaves`.

    What may be one of several is asked by its number, all else is one question; after a no it is
    asked one by one.
    """
    if hearing.facts or hearing.choices:
        screen.say(f"You said: {text[:LONGEST_ECHO]}")
    found = list(_all_or_some(hearing.facts, book, screen, source))
    for among in hearing.choices:
        chosen = _chosen(among, book, screen, source)
        found += [chosen] if chosen else []
    return tuple(found)


def _all_or_some(
    facts: Sequence[HeardFact], book: Rulebook, screen: Screen, source: Source
) -> Sequence[HeardFact]:
    if not facts:
        return ()
    screen.say("I heard:", bold=True)
    for one in facts:
        screen.say(told(one, book), indent=2)
    if is_so(screen, source):
        return facts
    if len(facts) == 1:
        return ()
    return [one for one in facts if _one_by_one(one, book, screen, source)]


def _one_by_one(one: HeardFact, book: Rulebook, screen: Screen, source: Source) -> bool:
    screen.say(f"I heard: {told(one, book)}", bold=True)
    return is_so(screen, source)


def _chosen(
    among: Sequence[HeardFact], book: Rulebook, screen: Screen, source: Source
) -> HeardFact | None:
    if len(among) == 1:
        return among[0] if _one_by_one(among[0], book, screen, source) else None

    def put() -> None:
        screen.say("I heard one of these. Which was it?", bold=True)
        for number, one in enumerate(among, 1):
            screen.item(str(number), told(one, book), width=2)
        screen.say(f"Type a number from 1 to {len(among)}, or `none`.")

    def read(line: str) -> int:
        if line.lower() in LEAVE:
            raise Leaves
        if line.lower() in NONE_WORDS:
            return 0
        if line.isascii() and line.isdecimal() and 1 <= int(line[:3]) <= len(among):
            return int(line)
        named = [n for n, one in enumerate(among, 1) if line.lower() in (one.complaint, one.value)]
        if len(named) == 1:
            return named[0]
        raise ValueError(f"type a number from 1 to {len(among)}, or `none`")

    put()
    picked = ask_until(lambda: source.read(""), read, lambda error: _refuse(screen, error), put)
    if picked is None:
        raise Leaves
    return among[picked - 1] if picked else None


def say_of_what(text: str) -> str:
    """Return what to say to an amount with a unit and nothing else that was refused."""
    try:
        bare = amount(text).dimension == DIMENSIONLESS
    except NotAnAmount:
        bare = True
    return "" if bare else ". For another reading, type with it what was measured, and where"


def _refuse(screen: Screen, error: ValueError | WrongUse) -> None:
    screen.say(sentence(str(error)))


def told(fact: HeardFact, book: Rulebook) -> str:
    """Say a fact in full: a complaint by its title, a finding by its question and the answer."""
    if fact.complaint:
        return f"{book.complaints[fact.complaint].title}."
    finding = book.findings[fact.finding]
    assert fact.value is not None
    look = finding.choices.get(fact.value, "") if isinstance(fact.value, str) else ""
    return f"{finding.ask} {shown(fact.value)}" + (f": {look}" if look else "")
