"""A session told whole: complaint and readings given beforehand, nothing asked."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from diag.cli.ask.heard import told
from diag.cli.book import find_complaint, find_unit
from diag.cli.guard import WrongUse
from diag.cli.terminal.given import given
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook, UnitData, Value
from diag.rulebook import read_readings
from diag.session.journal.events import Answered, Complained
from diag.session.result import result
from diag.session.state import SessionState

if TYPE_CHECKING:  # imported once something is said in other words
    from diag.session.hearing import HeardFact, Hearing

SAID = re.compile(r"^said:[ \t]*(.*)$", re.MULTILINE)
"""A line of a readings file that tells of readings in plain words."""


def run_script(
    book: Rulebook,
    unit: str | None,
    complaint: str | None,
    readings: str | None,
    screen: Screen,
    *,
    as_json: bool,
) -> int:
    """Judge what is given; return the exit code. What was told in words is said back."""
    if unit is None or complaint is None:
        raise WrongUse("name the unit and the complaint: --unit UNIT --complaint WORDS")
    found, text = find_unit(book, unit), _text_of(readings)
    heard = [*_complaint(book, complaint)]
    for said in SAID.findall(text):
        heard += _heard(book, said).facts
    complaints = tuple(dict.fromkeys(one.complaint for one in heard if one.complaint))
    state = SessionState(
        book, found, complaints[0] if complaints else find_complaint(book, complaint)
    )
    if len(complaints) > 1:
        state.apply(Complained(complaints))
    values = {one.finding: one.value for one in heard if one.value is not None}
    for finding, value in {**values, **_readings(book, text, readings, found)}.items():
        state.apply(Answered(finding, value, book.findings[finding].how))
    _show(state, heard, screen, as_json=as_json)
    return 0


def _show(
    state: SessionState, heard: Sequence[HeardFact], screen: Screen, *, as_json: bool
) -> None:
    said = [told(one, state.rulebook) for one in heard]
    if as_json:
        print(json.dumps({**result(state), **({"heard": said} if said else {})}, ensure_ascii=True))
        return
    from diag.cli.ask.views import show_where

    for line in said:
        screen.say(f"I heard: {line}")
    show_where(screen, state)


def _complaint(book: Rulebook, text: str) -> Sequence[HeardFact]:
    """Return what a complaint in other words tells of; nothing for one that is named."""
    try:
        find_complaint(book, text)
    except WrongUse:
        hearing = _heard(book, text)
        if not any(one.complaint for one in hearing.facts):
            raise
        return hearing.facts
    return ()


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
    for among in hearing.choices:
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
