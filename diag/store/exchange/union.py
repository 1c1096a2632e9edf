"""The union of copies: what each says more than the others is kept, and nothing else.

Copies of one thing are ordered: one that says less stands under one that says more. Of any
copies those are kept that stand under no other. Which these are does not depend on the order in
which the copies came, and to take one in again changes nothing: the maximal elements of a union
are those of the union of the maximal elements.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any, TypeVar

from diag.store.exchange.bundle import SessionBundle, bundle_as_data, canonical
from diag.store.jobs import JobEntry

WITHHELD = "[withheld]"
"""Stands in the place of a text that was left out; a copy that has the text says more."""

Copy = TypeVar("Copy", JobEntry, SessionBundle)


def under(data: Any, other: Any) -> bool:
    """Tell whether plain data says the same as other data, or less where it was withheld.

    >>> under({"who": "[withheld]", "what": "hose"}, {"who": "somebody", "what": "hose"})
    True
    """
    if isinstance(data, dict) and isinstance(other, dict):
        return data.keys() == other.keys() and all(under(data[key], other[key]) for key in data)
    if isinstance(data, list) and isinstance(other, list):
        return len(data) == len(other) and all(map(under, data, other))
    if data == WITHHELD:
        return isinstance(other, str)
    return type(data) is type(other) and bool(data == other)


def entry_under(entry: JobEntry, other: JobEntry) -> bool:
    """Tell whether an entry is a copy of the other that says no more."""
    return (entry.number, entry.uid, entry.kind, entry.at) == (
        other.number, other.uid, other.kind, other.at,
    ) and under(entry.payload, other.payload)  # fmt: skip


def session_under(session: SessionBundle, other: SessionBundle) -> bool:
    """Tell whether a session is the beginning of the other, or all of it.

    Its header is its first step, and its end is its last: a session that was ended and one that
    went on from there have parted. One that stands alone may have been given to a job since.
    """
    if session.job is None:
        other = replace(other, place=session.place)
    elif session.job != other.job:
        return False
    steps, others = _steps(session), _steps(other)
    return len(steps) <= len(others) and all(map(under, steps, others))


def _steps(session: SessionBundle) -> list[Any]:
    steps: list[Any] = [[session.uid, session.place, session.started, dict(session.header)]]
    steps += [[one.number, one.kind, one.at, one.payload] for one in session.events]
    return steps if session.outcome is None else [*steps, [session.outcome]]


def said_by(copy: JobEntry | SessionBundle) -> str:
    """Return as one text what a copy says, without the id that people type at this bench."""
    if isinstance(copy, JobEntry):
        return canonical([copy.number, copy.uid, copy.kind, copy.at, copy.payload])
    return canonical({**bundle_as_data(copy), "id": "", "job": copy.job})


def maximal(copies: Iterable[Copy], stands_under: Callable[[Copy, Copy], bool]) -> list[Copy]:
    """Return the copies that stand under no other, each once, in an order of their own."""
    found = {said_by(copy): copy for copy in copies}
    if len(found) < 2:
        return list(found.values())
    return [
        found[said]
        for said in sorted(found)
        if not any(stands_under(found[said], found[more]) for more in found if more != said)
    ]
