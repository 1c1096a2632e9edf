"""What happened in a session, event by event. The session's state is these, replayed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from math import inf
from typing import Any

from diag.model.frozen import frozen
from diag.model.quantity import OVER_RANGE, SPELLINGS, Quantity
from diag.model.rulebook import How, Value


@frozen
class Answered:
    """A finding was answered, as part of a check or volunteered (`check` empty)."""

    finding: str
    value: Value
    how: How
    when: str = ""
    check: str = ""
    again: bool = False
    """True where a reading that did not fit was taken again on purpose."""


@frozen
class Withdrawn:
    """An answer was taken back."""

    finding: str


@frozen
class Passed:
    """A finding was passed over: the user is not sure, or cannot do it now."""

    finding: str
    reason: str


@frozen
class Noted:
    """A remark for the record."""

    text: str
    when: str = ""


@frozen
class DangerCleared:
    """The user says that a danger has been dealt with and that work may go on."""

    danger: str


@frozen
class Repaired:
    """A cause was repaired; its proof comes next."""

    cause: str


@frozen
class Declined:
    """A proposed repair was turned down: the cause stays possible, other work goes on."""

    cause: str


@frozen
class Judged:
    """The proof of the last repair held, or did not."""

    cause: str
    held: bool


Event = Answered | Withdrawn | Passed | Noted | DangerCleared | Repaired | Declined | Judged

KINDS: Mapping[str, type[Event]] = {
    "answered": Answered,
    "withdrawn": Withdrawn,
    "passed": Passed,
    "noted": Noted,
    "danger cleared": DangerCleared,
    "repaired": Repaired,
    "declined": Declined,
    "judged": Judged,
}
_NAMES = {kind: name for name, kind in KINDS.items()}

OLD_KINDS: Mapping[str, str] = {"hazard cleared": "danger cleared"}
"""Kinds as sessions of earlier versions hold them, to today's name."""
OLD_FIELDS: Mapping[str, str] = {"hazard": "danger"}
"""Fields of those kinds to today's name."""


def value_as_data(value: Value) -> Any:
    """Turn a value into plain data: a state, or number, unit and error, all exact.

    What is over range has that for its number, as JSON knows no infinity.
    """
    if isinstance(value, Quantity):
        number = OVER_RANGE if value.over_range else value.si
        return {"si": number, "unit": value.unit.symbol, "error": value.error}
    return value


def value_from_data(data: Any) -> Value:
    """Turn plain data back into the value it was made from."""
    if isinstance(data, Mapping):
        number = inf if data["si"] == OVER_RANGE else float(data["si"])
        return Quantity(number, SPELLINGS[str(data["unit"])], float(data["error"]))
    return str(data)


def as_record(event: Event) -> tuple[str, dict[str, Any]]:
    """Return the kind and the payload under which an event is stored.

    >>> as_record(Withdrawn("weight"))
    ('withdrawn', {'finding': 'weight'})
    """
    if isinstance(event, Answered):
        payload = {
            "finding": event.finding,
            "value": value_as_data(event.value),
            "how": event.how,
            "when": event.when,
            "check": event.check,
            "again": event.again,
        }
    else:
        payload = asdict(event)
    return _NAMES[type(event)], payload


def from_record(kind: str, payload: Mapping[str, Any]) -> Event:
    """Return the event that was stored; `ValueError` for a kind of a newer version."""
    if kind in OLD_KINDS:
        kind = OLD_KINDS[kind]
        payload = {OLD_FIELDS.get(name, name): value for name, value in payload.items()}
    if kind not in KINDS:
        raise ValueError(f"this session holds an entry `{kind}` that this version cannot read")
    fields = dict(payload)
    if kind == "answered":
        fields["value"] = value_from_data(fields["value"])
    return KINDS[kind](**fields)
