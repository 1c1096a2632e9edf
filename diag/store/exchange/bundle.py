"""A job or a session as plain data that travels, with the checks of what comes in.

What comes in was written elsewhere and is believed in nothing: each field is of its kind, of a
bounded size, and stays data.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any, TypeVar

from diag.model.frozen import frozen
from diag.store.jobs import JobEntry
from diag.store.sessions import StoredEvent

UID = re.compile(r"[0-9a-f]{32}")
_ID = re.compile(r"[a-z0-9]{1,20}")
_TIME = re.compile(r"[\x21-\x7e]{1,40}")
_KIND = re.compile(r"[a-z][a-z -]{0,39}")
_OUTCOME = re.compile(r"[^\x00-\x1f\x7f\ud800-\udfff]{1,200}")
MOST_NUMBER = 2**53
MOST_COPIES = 100
"""So many copies of one thing, all different, may come in one line."""


@frozen
class SessionBundle:
    """A session with its whole journal; `place` is its place among those of its job."""

    uid: str
    id: str
    place: int
    started: str
    header: Mapping[str, Any]
    outcome: str | None
    events: tuple[StoredEvent, ...]
    job: str | None = None
    """The uid of its job; None where it stands alone."""


@frozen
class JobBundle:
    """A job with its entries and its sessions."""

    uid: str
    id: str
    opened: str
    entries: tuple[JobEntry, ...]
    sessions: tuple[SessionBundle, ...]


Bundle = JobBundle | SessionBundle
Made = TypeVar("Made")


def canonical(data: Any) -> str:
    """Return plain data as one text, the same for the same data."""
    return json.dumps(data, sort_keys=True, allow_nan=False)


def bundle_as_data(bundle: Bundle) -> dict[str, Any]:
    """Return a bundle as plain data."""
    if isinstance(bundle, SessionBundle):
        return {
            "session": bundle.uid,
            "id": bundle.id,
            "place": bundle.place,
            "started": bundle.started,
            "header": dict(bundle.header),
            "outcome": bundle.outcome,
            "events": [
                {"number": one.number, "at": one.at, "kind": one.kind, "payload": one.payload}
                for one in bundle.events
            ],
        }
    return {
        "job": bundle.uid,
        "id": bundle.id,
        "opened": bundle.opened,
        "entries": [
            {"number": one.number, "uid": one.uid, "at": one.at, "kind": one.kind,
             "payload": one.payload}
            for one in bundle.entries
        ],
        "sessions": [bundle_as_data(one) for one in bundle.sessions],
    }  # fmt: skip


def bundle_from_data(data: Any) -> Bundle:
    """Return the bundle that plain data says; `ValueError` naming what is wrong with it."""
    if not isinstance(data, dict):
        raise ValueError("it is no job and no session")
    if "session" in data:
        return _session(data)
    uid, entries = _text(data, "job", UID), _some(data, "entries", _entry)
    sessions = tuple(replace(one, job=uid) for one in _some(data, "sessions", _session))
    _not_too_many([one.uid for one in entries] + [one.uid for one in sessions])
    return JobBundle(
        uid, _text(data, "id", _ID), _text(data, "opened", _TIME),
        entries, sessions,
    )  # fmt: skip


def _session(data: dict[str, Any]) -> SessionBundle:
    header = data.get("header")
    if not isinstance(header, dict):
        raise ValueError("`header` is no set of named values")
    outcome = data.get("outcome")
    events = _some(data, "events", _event)
    numbers = [one.number for one in events]
    if any(one >= other for one, other in pairwise(numbers)):
        raise ValueError("the events of a session are not in their order")
    return SessionBundle(
        _text(data, "session", UID),
        _text(data, "id", _ID),
        _whole(data, "place", 0),
        _text(data, "started", _TIME),
        header,
        None if outcome is None else _text(data, "outcome", _OUTCOME),
        events,
    )


def _entry(data: dict[str, Any]) -> JobEntry:
    event = _event(data)
    return JobEntry(event.number, _text(data, "uid", UID), event.kind, event.payload, event.at)


def _event(data: dict[str, Any]) -> StoredEvent:
    payload = data.get("payload")
    if not isinstance(payload, dict):
        raise ValueError("`payload` is no set of named values")
    return StoredEvent(
        _whole(data, "number", 1), _text(data, "kind", _KIND), payload, _text(data, "at", _TIME)
    )


def _text(data: Mapping[str, Any], key: str, pattern: re.Pattern[str]) -> str:
    held = data.get(key)
    if not isinstance(held, str) or not pattern.fullmatch(held):
        raise ValueError(f"`{key}` is missing or is not what it should be")
    return held


def _whole(data: Mapping[str, Any], key: str, least: int) -> int:
    held = data.get(key)
    if type(held) is not int or not least <= held <= MOST_NUMBER:
        raise ValueError(f"`{key}` is no whole number from {least} on")
    return held


def _some(
    data: Mapping[str, Any], key: str, made: Callable[[dict[str, Any]], Made]
) -> tuple[Made, ...]:
    held = data.get(key)
    if not isinstance(held, list) or not all(isinstance(one, dict) for one in held):
        raise ValueError(f"`{key}` is no list of records")
    return tuple(made(one) for one in held)


def _not_too_many(uids: list[str]) -> None:
    if max(Counter(uids).values(), default=0) > MOST_COPIES:
        raise ValueError(f"one thing comes in more than {MOST_COPIES} copies")
