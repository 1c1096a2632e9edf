"""What happened in a session, event by event. The session's state is these, replayed.

Every kind of event stands in `EVENTS`; tests of the laws of a session draw from there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, fields
from typing import TYPE_CHECKING, Any

from diag.model.frozen import frozen
from diag.model.rulebook import How, Value
from diag.session.journal.recalled import Recalled, recalled_from_data
from diag.session.journal.values import value_as_data, value_from_data

if TYPE_CHECKING:  # what is kept may be read without the store
    from diag.store import StoredEvent

CANNOT = "cannot be done now"
"""Why a finding was passed over that may be read once more is at hand."""


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
class Corrected:
    """The latest answer to a finding was a slip: this one takes its place."""

    finding: str
    value: Value
    how: How
    when: str = ""
    slip: bool = False
    """True where it takes a danger back, which the user has confirmed."""


@frozen
class Withdrawn:
    """The latest answer to a finding was taken back."""

    finding: str


@frozen
class Undone:
    """An entry of the journal, by its number from 0, was taken back with all that it held."""

    entry: int
    slip: bool = False
    """True where it takes a danger back, which the user has confirmed."""


@frozen
class Passed:
    """A finding was passed over: the user is not sure, or cannot do it now."""

    finding: str
    reason: str
    check: str = ""
    """The check of a run under way that goes on without it; empty where nothing is under way."""


@frozen
class Complained:
    """What is complained of, from here on: it takes the place of all that was complained of."""

    complaints: tuple[str, ...]
    when: str = ""


@frozen
class Noted:
    """A remark for the record."""

    text: str
    when: str = ""


@frozen
class Heeded:
    """The user has seen a danger and done what is to be done at once; that releases nothing."""

    danger: str


@frozen
class Repaired:
    """A cause was repaired; its proof comes next."""

    cause: str


@frozen
class Chosen:
    """The user wants this check made next, whatever the plan says."""

    check: str


@frozen
class Declined:
    """A proposed repair was turned down: the cause stays possible, other work goes on."""

    cause: str


@frozen
class Equipped:
    """Who works where, by the name of a profile, and with which tools from now on."""

    profile: str
    tools: tuple[str, ...]


@frozen
class Together:
    """Several events that are one act, as the answers to a joint question are."""

    events: tuple[Event, ...]


@frozen
class LeftOut:
    """A stored entry that says nothing here: `why` is the sentence to tell, empty where none is."""

    kind: str
    why: str = ""


Event = (
    Answered
    | Corrected
    | Withdrawn
    | Undone
    | Passed
    | Complained
    | Noted
    | Heeded
    | Repaired
    | Declined
    | Chosen
    | Equipped
    | Recalled
    | Together
    | LeftOut
)

EVENTS: Mapping[str, type[Event]] = {
    "answered": Answered,
    "corrected": Corrected,
    "withdrawn": Withdrawn,
    "undone": Undone,
    "passed": Passed,
    "complained": Complained,
    "noted": Noted,
    "heeded": Heeded,
    "repaired": Repaired,
    "declined": Declined,
    "chosen": Chosen,
    "equipped": Equipped,
    "recalled": Recalled,
    "together": Together,
    "left out": LeftOut,
}
"""Name in a stored journal to the kind of event."""
_NAMES = {kind: name for name, kind in EVENTS.items()}
_EARLIER = {"danger cleared": "heeded", "hazard cleared": "heeded"}
"""Names that earlier versions wrote."""
_FOLLOWS = frozenset({"judged"})
"""What earlier versions wrote and now follows from the rest of the journal."""


_MOST_MISSING = 1000
"""However far the numbers jump in a damaged journal, no more are told as missing."""
_PLAIN: Mapping[str, type] = {"str": str, "int": int, "bool": bool}
"""Types of fields, as they are written in the classes above, that a stored entry must keep."""


def flat(event: Event) -> Iterator[Event]:
    """Yield the events that an act consists of."""
    if isinstance(event, Together):
        for one in event.events:
            yield from flat(one)
    else:
        yield event


def as_record(event: Event) -> tuple[str, dict[str, Any]]:
    """Return the kind and the payload under which an event is stored.

    >>> as_record(Withdrawn("weight"))
    ('withdrawn', {'finding': 'weight'})
    """
    if isinstance(event, Together):
        held = [{"kind": kind, **payload} for kind, payload in map(as_record, event.events)]
        return "together", {"events": held}
    payload = asdict(event)
    if isinstance(event, Answered | Corrected):
        payload["value"] = value_as_data(event.value)
    return _NAMES[type(event)], payload


def from_record(kind: str, payload: Mapping[str, Any]) -> Event:
    """Return the event that was stored; `LeftOut` for what this version cannot read."""
    kind = _EARLIER.get(kind, kind)
    if kind in _FOLLOWS:
        return LeftOut(kind)
    try:
        return _read(kind, payload)
    except (KeyError, TypeError, ValueError, OverflowError):
        return LeftOut(
            kind, f"an entry `{kind[:40]}` cannot be read by this version: it is left out"
        )


def from_records(records: Iterable[tuple[int, str, Mapping[str, Any]]]) -> Iterator[Event]:
    """Yield the events of a stored journal, whose entries are numbered from 1 without a gap.

    An entry that is missing or cannot be read is left out with a sentence that says its number,
    and keeps its place: what takes back an entry names it by that.

    >>> next(iter(from_records([(2, "withdrawn", {"finding": "weight"})]))).why
    'entry 1 is missing from the journal: it is left out'
    """
    due = 1
    for number, kind, payload in records:
        for gone in range(due, min(number, due + _MOST_MISSING)):
            yield LeftOut("missing", f"entry {gone} is missing from the journal: it is left out")
        event = from_record(kind, payload)
        if isinstance(event, LeftOut) and event.why:
            what = f"entry {number} of the journal, `{kind[:40]}`,"
            event = LeftOut(kind, f"{what} cannot be read by this version: it is left out")
        yield event
        due = number + 1


def journal_of(stored: Iterable[StoredEvent]) -> list[Event]:
    """Return the journal that a session's stored events make, in their order."""
    return list(from_records((one.number, one.kind, one.payload) for one in stored))


def _read(kind: str, payload: Mapping[str, Any]) -> Event:
    fields = dict(payload)
    if kind == "together":
        parts = [dict(part) for part in fields.pop("events")]
        return Together(tuple(_read(str(part.pop("kind")), part) for part in parts), **fields)
    if kind == "recalled":
        return recalled_from_data(fields)
    if kind == "heeded" and "hazard" in fields:
        fields["danger"] = fields.pop("hazard")
    for key in ("tools", "complaints"):
        if key in fields:
            fields[key] = _texts(fields[key])
    if "value" in fields:
        fields["value"] = value_from_data(fields["value"])
    made = EVENTS[kind](**fields)
    _check(made)
    return made


def _texts(data: Any) -> tuple[str, ...]:
    if not isinstance(data, list | tuple) or not all(isinstance(one, str) for one in data):
        raise TypeError("a list of texts is expected")
    return tuple(data)


def _check(event: Event) -> None:
    """Raise `TypeError` where a field that should be a text, a number or a truth is not."""
    for field in fields(event):
        wanted = _PLAIN.get(str(field.type))
        if wanted is not None and not isinstance(getattr(event, field.name), wanted):
            raise TypeError(f"`{field.name}` is no {wanted.__name__}")
    if getattr(event, "how", "seen") not in ("told", "seen", "measured"):
        raise ValueError("a reading is told, seen or measured")
