"""`diag ask --readings`: complaint and readings given beforehand, all at once."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from diag.cli.ask.heard import told
from diag.cli.book import find_complaint, find_unit
from diag.cli.guard import WrongUse
from diag.cli.terminal.given import given
from diag.cli.terminal.screen import Screen, sentence
from diag.model.rulebook import Rulebook, UnitData, Value
from diag.rulebook import read_readings
from diag.session.journal.events import Answered, Complained, Equipped, Event
from diag.session.offer.reach import AtHand
from diag.session.result import result, shown
from diag.session.slips import unlisted
from diag.session.state import SessionState

if TYPE_CHECKING:  # imported once something is said in other words
    from diag.session.hearing import HeardFact, Hearing

SAID = re.compile(r"^said:[ \t]*(.*)$", re.MULTILINE | re.IGNORECASE)
"""A line of a readings file that tells of readings in plain words."""


@dataclass(frozen=True, slots=True)
class Script:
    """A session before its first entry, what is given beforehand, and what of it was heard."""

    state: SessionState
    events: tuple[Event, ...]
    heard: Sequence[HeardFact]


def script(
    book: Rulebook,
    unit: str | None,
    complaint: str | None,
    readings: str | None,
    there: Equipped | None = None,
) -> Script:
    """Return what is given beforehand; `WrongUse` for what cannot be taken as it stands.

    `there` is what is at hand: it stands before the readings, which are taken with it.
    """
    if unit is None or complaint is None:
        raise WrongUse("name the unit and the complaint: --unit UNIT --complaint WORDS")
    found, text = find_unit(book, unit), _text_of(readings)
    named, heard = _complaint(book, complaint)
    for said in SAID.finditer(text):
        heard += _told_in(book, said, _name(readings or ""))
    told = (one.complaint for one in heard if one.complaint)
    complaints = tuple(dict.fromkeys((*named, *told)))
    events: list[Event] = [there] if there is not None else []
    events += [Complained(complaints)] if len(complaints) > 1 else []
    reach = AtHand(book, there)
    for finding, value in _values(heard, _readings(book, text, readings, found)).items():
        events.append(Answered(finding, value, reach.how(book.findings[finding])))
    return Script(SessionState(book, found, complaints[0]), tuple(events), heard)


def _told_in(book: Rulebook, said: re.Match[str], name: str) -> Sequence[HeardFact]:
    """Return what a line of a readings file tells of; `WrongUse`, with its place, for nothing."""
    words = said[1].strip()
    facts = _heard(book, words).facts
    if not facts:
        line = said.string.count("\n", 0, said.start()) + 1
        raise WrongUse(
            f"{name}:{line}: `{words[:40]}` tells of nothing that the rules know; name it as they "
            "do, or take the line out"
        )
    return facts


def _values(heard: Sequence[HeardFact], named: Mapping[str, Value]) -> Mapping[str, Value]:
    """Return all readings, told or named; `WrongUse` for one that is told in two ways."""
    values = dict[str, Value]()
    told = [(one.finding, one.value) for one in heard if one.value is not None]
    for finding, value in (*told, *named.items()):
        if finding in values and shown(values[finding]) != shown(value):
            both = f"`{shown(values[finding])}` and `{shown(value)}`"
            raise WrongUse(f"the readings say both {both} of `{finding}`; leave one of them out")
        values[finding] = value
    return values


def print_result(given: Script) -> None:
    """Print all that is known as one JSON object."""
    said = [told(one, given.state.rulebook) for one in given.heard]
    known = result(given.state.replay(given.events))
    print(json.dumps({**known, **({"heard": said} if said else {})}, ensure_ascii=True))


def say_back(given: Script, screen: Screen) -> None:
    """Say back what was told in words, and tell where the session stands."""
    from diag.cli.account.where import show_where

    state = given.state
    for one in given.heard:
        screen.say(f"I heard: {told(one, state.rulebook)}")
    show_where(screen, state)
    for reading in state.readings.values():
        if foreign := unlisted(state.rulebook.findings[reading.finding], reading.value, state):
            screen.say(sentence(foreign))


def _complaint(book: Rulebook, text: str) -> tuple[list[str], list[HeardFact]]:
    """Return the complaint that is named, or else what the words for it tell of."""
    try:
        return [find_complaint(book, text)], []
    except WrongUse:
        hearing = _heard(book, text)
        if not any(one.complaint for one in hearing.facts):
            raise
        return [], [*hearing.facts]


def _heard(book: Rulebook, text: str) -> Hearing:
    """Return what a text tells of for sure; `WrongUse` where that would have to be asked."""
    from diag.session.hearing import hear

    hearing = hear(text, book)
    if hearing.dangers:
        title = hearing.dangers[0].danger.title
        names = ", ".join(f"`{one.finding.id}: {one.state}`" for one in hearing.dangers)
        raise WrongUse(
            f"`{text[:40]}` may tell of a danger: {title}; give {names} as a reading if so, or use "
            "other words"
        )
    for among in (*hearing.choices, *((one,) for one in hearing.facts if one.guessed)):
        listed = "; or ".join(told(one, book).rstrip(".") for one in among)
        raise WrongUse(f"`{text[:40]}` may mean: {listed}; name it as the rules do")
    return hearing


def _text_of(readings: str | None) -> str:
    if readings is None:
        return ""
    name = _name(readings)
    data = given(readings)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise ValueError(
            f"`{name}` is not UTF-8 text from byte {error.start} on; save it as UTF-8"
        ) from None
    if not text.strip():
        raise ValueError(f"`{name}` holds no readings; write one a line: FINDING: ANSWER")
    return text


def _name(readings: str) -> str:
    return "standard input" if readings == "-" else readings


def _readings(
    book: Rulebook, text: str, readings: str | None, unit: UnitData
) -> Mapping[str, Value]:
    """Read what stands as FINDING: ANSWER, each line in its place."""
    named = SAID.sub("", text)
    return read_readings(named, _name(readings or ""), book, unit) if named.strip() else {}
