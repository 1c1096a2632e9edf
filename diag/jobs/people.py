"""A job without people: what may name somebody is withheld before it leaves the bench.

Whole texts are withheld, since a name may stand anywhere in what people typed: the customer, the
vehicle, free words on a label, the complaint in the owner's words, remarks, reasons, paths of
files. What was measured, found, repaired and fitted stays, as do the heater's own tag and serial.
Of what this version does not know, every text is withheld.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from diag.store.exchange.bundle import Bundle, JobBundle, SessionBundle
from diag.store.exchange.union import WITHHELD

_LABEL = frozenset({"customer", "vehicle", "about"})
NAMING: Mapping[str, frozenset[str]] = {
    "opened": frozenset({"complaint"}),
    "labelled": _LABEL,
    "remarked": frozenset({"text"}),
    "figured": frozenset(),
    "part used": frozenset(),
    "worked": frozenset({"what"}),
    "offered": frozenset({"why"}),
    "attached": frozenset({"path"}),
    "ended": frozenset(),
    "reopened": frozenset({"why"}),
    "struck": frozenset(),
}
"""Kind of entry to its fields that may name somebody."""
SAYING: Mapping[str, frozenset[str]] = {"noted": frozenset({"text"})}
"""Kind of event to its fields that may name somebody."""
NAMELESS = frozenset({
    "answered", "corrected", "withdrawn", "undone", "passed", "complained", "heeded", "repaired",
    "declined", "chosen", "equipped", "together", "left out", "recalled",
})  # fmt: skip
"""Kinds of events that hold words of the rules and what was read, and nobody's name."""


def without_people(bundle: Bundle) -> Bundle:
    """Return a job or a session with what may name somebody withheld; once more changes nothing."""
    if isinstance(bundle, SessionBundle):
        events = (
            replace(one, payload=event_without_people(one.kind, one.payload))
            for one in bundle.events
        )
        return replace(bundle, events=tuple(events))
    entries = (
        replace(one, payload=entry_without_people(one.kind, one.payload)) for one in bundle.entries
    )
    sessions = (without_people(one) for one in bundle.sessions)
    return JobBundle(
        bundle.uid,
        bundle.id,
        bundle.opened,
        tuple(entries),
        tuple(one for one in sessions if isinstance(one, SessionBundle)),
    )


def entry_without_people(kind: str, payload: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an entry holds, without people.

    >>> entry_without_people("labelled", {"customer": "A. Body", "tag": "LIB-03"})
    {'customer': '[withheld]', 'tag': 'LIB-03'}
    """
    if kind not in NAMING:
        return {key: _nothing_said(value) for key, value in payload.items()}
    held = _withheld(payload, NAMING[kind])
    if isinstance(held.get("label"), Mapping):
        held["label"] = _withheld(held["label"], _LABEL)
    return held


def event_without_people(kind: str, payload: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an event of a journal holds, without people."""
    if kind not in SAYING and kind not in NAMELESS:
        return {key: _nothing_said(value) for key, value in payload.items()}
    held = _withheld(payload, SAYING.get(kind, frozenset()))
    if isinstance(held.get("events"), list):
        held["events"] = [
            {**event_without_people(str(part.get("kind")), part), "kind": part.get("kind")}
            if isinstance(part, dict)
            else part
            for part in held["events"]
        ]
    return held


def _withheld(payload: Mapping[str, Any], names: frozenset[str]) -> dict[str, Any]:
    return {
        key: WITHHELD if key in names and isinstance(value, str) and value else value
        for key, value in payload.items()
    }


def _nothing_said(data: Any) -> Any:
    """Return data with every text in it withheld."""
    if isinstance(data, Mapping):
        return {key: _nothing_said(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_nothing_said(value) for value in data]
    return WITHHELD if isinstance(data, str) and data else data
