"""A job as its entries make it: who, what, parts, minutes, remarks, outcome."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import field, fields, replace
from typing import Any

from diag.jobs.entries import (
    Attached,
    Ended,
    Figured,
    Labelled,
    Offered,
    Opened,
    PartUsed,
    Remarked,
    Reopened,
    Struck,
    Unreadable,
    Worked,
    Written,
    entry_from_data,
)
from diag.model.frozen import frozen
from diag.store.jobs import JobEntry, JobIndex


@frozen
class At:
    """An entry, and when it was written, in UTC as ISO 8601 writes it."""

    at: str
    entry: Written
    number: int = 0
    uid: str = ""


@frozen
class JobRecord:
    """What the entries of a job come to; `outcome` is None while it is open."""

    unit: str = ""
    complaint: str = ""
    label: Labelled = field(default_factory=Labelled)
    outcome: str | None = None
    opened: str = ""
    ended: str = ""
    notes: tuple[At, ...] = ()
    figures: tuple[At, ...] = ()
    parts: tuple[At, ...] = ()
    work: tuple[At, ...] = ()
    offers: tuple[At, ...] = ()
    attached: tuple[At, ...] = ()
    unreadable: tuple[At, ...] = ()

    @property
    def title(self) -> str:
        """Return a line that tells this job from others."""
        told = (self.label.tag, self.label.vehicle, self.label.customer, self.label.about)
        return ", ".join(text for text in told if text) or self.unit


_ROWS: dict[type, str] = {
    Remarked: "notes",
    Figured: "figures",
    PartUsed: "parts",
    Worked: "work",
    Offered: "offers",
    Attached: "attached",
    Unreadable: "unreadable",
}


_SEARCHED = {Remarked: "text", PartUsed: "name", Worked: "what", Offered: "what"}
"""What is added to a job, to the words of it that a search looks in."""


def record_of(entries: Iterable[JobEntry]) -> JobRecord:
    """Return what stored entries come to, taken in their order; what was struck is left out."""
    read = [
        At(one.at, entry_from_data(one.kind, one.payload), one.number, one.uid) for one in entries
    ]
    gone = {one.entry.uid for one in read if isinstance(one.entry, Struck)}
    record = JobRecord()
    for one in read:
        if one.uid not in gone and not isinstance(one.entry, Struck):
            record = _with(record, one)
    return record


def _with(record: JobRecord, one: At) -> JobRecord:
    entry = one.entry
    if isinstance(entry, Opened):
        label = _relabelled(record.label, entry.label)
        return replace(
            record, unit=entry.unit, complaint=entry.complaint, label=label, opened=one.at
        )
    if isinstance(entry, Labelled):
        return replace(record, label=_relabelled(record.label, entry))
    if isinstance(entry, Ended):
        return replace(record, outcome=entry.outcome, ended=one.at)
    if isinstance(entry, Reopened):
        return replace(record, outcome=None, ended="")
    row = _ROWS[type(entry)]
    grown: dict[str, Any] = {row: (*getattr(record, row), one)}
    return replace(record, **grown)


def _relabelled(label: Labelled, change: Labelled) -> Labelled:
    """Return a label with the fields of another that are said in it."""
    said = {each.name: getattr(change, each.name) for each in fields(change)}
    return replace(label, **{name: text for name, text in said.items() if text is not None})


def index_of(entries: Sequence[JobEntry]) -> JobIndex:
    """Return what a job is found by."""
    record = record_of(entries)
    label = record.label
    told = (label.customer, label.vehicle, label.tag, label.serial, label.about)
    added = (*record.notes, *record.parts, *record.work, *record.offers)
    texts = (getattr(one.entry, _SEARCHED[type(one.entry)]) for one in added)
    words = (record.unit, record.complaint, *told, *texts, record.outcome)
    return JobIndex(
        tag=label.tag or "",
        serial=label.serial or "",
        title=record.title,
        words="\n".join(text for text in words if text).lower(),
        outcome=record.outcome,
    )
