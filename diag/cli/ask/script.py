"""`diag ask --readings`: answers taken from a file, all at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from diag.cli.book import find_complaint, find_unit
from diag.cli.guard import WrongUse
from diag.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from diag.model.rulebook import Rulebook, UnitData, Value


def script(
    book: Rulebook,
    unit: str | None,
    complaint: str | None,
    readings: str | None,
    screen: Screen,
    *,
    as_json: bool,
) -> int:
    import json

    from diag.session.journal.events import Answered
    from diag.session.result import result
    from diag.session.state import SessionState

    if unit is None or complaint is None:
        raise WrongUse("name the unit and the complaint: --unit UNIT --complaint WORDS")
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    for finding, value in _readings(book, readings, state.unit).items():
        state.apply(Answered(finding, value, book.findings[finding].how))
    if as_json:
        print(json.dumps(result(state), ensure_ascii=True))
    else:
        from diag.cli.ask.views import show_where

        show_where(screen, state)
    return 0


def _readings(book: Rulebook, readings: str | None, unit: UnitData) -> Mapping[str, Value]:
    from diag.cli.terminal.given import given
    from diag.rulebook import read_readings

    if readings is None:
        return {}
    name = "standard input" if readings == "-" else readings
    data = given(readings)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise ValueError(
            f"`{name}` is not UTF-8 text from byte {error.start} on; save it as UTF-8"
        ) from None
    if not text.strip():
        raise ValueError(f"`{name}` holds no readings; write one a line: FINDING: ANSWER")
    return read_readings(text, name, book, unit)
