"""What is written down about a job, entry by entry. A job is these, in their order.

Every kind of entry stands in `ENTRIES`. What was measured, found, repaired and proved is in the
journals of the job's sessions and is not repeated here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields
from typing import Any

from diag.model.frozen import frozen


@frozen
class Labelled:
    """Whose heater it is, and which; a field that is None stays as it was."""

    customer: str | None = None
    vehicle: str | None = None
    tag: str | None = None
    serial: str | None = None
    about: str | None = None
    """Free text."""


@frozen
class Opened:
    """A job was begun: the unit by its id in the rules, and the complaint in the owner's words."""

    unit: str
    complaint: str
    label: Labelled = Labelled()


@frozen
class Remarked:
    """A remark."""

    text: str


@frozen
class Figured:
    """What a bench sum came to, beside a session."""

    text: str


@frozen
class PartUsed:
    """A part that was fitted; `price` as typed, with or without a currency."""

    name: str
    price: str = ""
    cause: str = ""
    """The fault it mends, where it was fitted for one."""


@frozen
class Worked:
    """Minutes of work to be charged, for what."""

    minutes: float
    what: str = ""


@frozen
class Offered:
    """Work that was offered to the owner: a cause's repair, or any work in words."""

    what: str
    accepted: bool
    why: str = ""


@frozen
class Attached:
    """A file kept beside the job, by its path and the SHA-256 of what it held."""

    path: str
    sha256: str
    size: int


@frozen
class Ended:
    """The job was closed with an outcome."""

    outcome: str


@frozen
class Reopened:
    """A closed job was taken up again."""

    why: str = ""


@frozen
class Struck:
    """An earlier entry was a mistake and counts no more; it stays in the record."""

    uid: str


@frozen
class Unreadable:
    """An entry that this version cannot read; it stays in the record."""

    kind: str


Written = (
    Opened
    | Labelled
    | Remarked
    | Figured
    | PartUsed
    | Worked
    | Offered
    | Attached
    | Ended
    | Reopened
    | Struck
    | Unreadable
)

ENTRIES: Mapping[str, type[Written]] = {
    "opened": Opened,
    "labelled": Labelled,
    "remarked": Remarked,
    "figured": Figured,
    "part used": PartUsed,
    "worked": Worked,
    "offered": Offered,
    "attached": Attached,
    "ended": Ended,
    "reopened": Reopened,
    "struck": Struck,
}
"""Name in a stored record to the kind of entry."""
_NAMES = {kind: name for name, kind in ENTRIES.items()}
_PLAIN: Mapping[str, type | tuple[type, ...]] = {
    "str": str,
    "str | None": (str, type(None)),
    "int": int,
    "float": (int, float),
    "bool": bool,
}


def entry_as_data(entry: Written) -> tuple[str, dict[str, Any]]:
    """Return the kind and the payload under which an entry is stored.

    >>> entry_as_data(Remarked("mind the dog"))
    ('remarked', {'text': 'mind the dog'})
    """
    return _NAMES[type(entry)], asdict(entry)


def entry_from_data(kind: str, payload: Mapping[str, Any]) -> Written:
    """Return the entry that was stored; `Unreadable` for what this version cannot read."""
    held = dict(payload)
    try:
        if kind == "opened":
            held["label"] = Labelled(**held.get("label", {}))
            _check(held["label"])
        made = ENTRIES[kind](**held)
        _check(made)
    except (KeyError, TypeError):
        return Unreadable(kind[:40])
    return made


def _check(entry: Written) -> None:
    """Raise `TypeError` where a field is not of its kind."""
    for each in fields(entry):
        wanted = _PLAIN.get(str(each.type))
        if wanted is not None and not isinstance(getattr(entry, each.name), wanted):
            raise TypeError(f"`{each.name}` is no {each.type}")
