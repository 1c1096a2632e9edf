"""`diag ask --readings`: answers taken from a file, all at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from diag.cli.book import find_complaint, find_unit
from diag.cli.guard import WrongUse

if TYPE_CHECKING:
    from diag.model.rulebook import Rulebook, UnitData, Value
    from diag.session.journal.events import Answered
    from diag.session.state import SessionState


def script(
    book: Rulebook,
    unit: str | None,
    complaint: str | None,
    readings: str | None,
) -> tuple[SessionState, tuple[Answered, ...]]:
    """Return a session before its first reading, and the readings of the file as answers."""
    from diag.session.journal.events import Answered
    from diag.session.state import SessionState

    if unit is None or complaint is None:
        raise WrongUse("name the unit and the complaint: --unit UNIT --complaint WORDS")
    state = SessionState(book, find_unit(book, unit), find_complaint(book, complaint))
    taken = _readings(book, readings, state.unit).items()
    return state, tuple(Answered(name, value, book.findings[name].how) for name, value in taken)


def print_result(state: SessionState) -> None:
    """Print all that is known as one JSON object."""
    import json

    from diag.session.result import result

    print(json.dumps(result(state), ensure_ascii=True))


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
