"""A report put together for whoever reads it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal as OneOf

from diag.jobs.report.commissioning.sheet import commissioned, commissioning_part
from diag.jobs.report.document import Report, ReportPart
from diag.jobs.report.filed import file_part
from diag.jobs.report.material import JobMaterial
from diag.jobs.report.owner import owner_part
from diag.jobs.report.quote import quote_part
from diag.model.phrasing import in_a_row

Audience = OneOf["owner", "file", "both"]


def report_of(material: JobMaterial, audience: Audience = "both", *, quote: bool = False) -> Report:
    """Return the report of a job for its readers, or the `quote` before the work."""
    parts = (quote_part(material),) if quote else tuple(_parts(material, audience))
    name = "Quote" if quote else "Report"
    state = ", job still open" if material.is_open and not quote else ""
    return Report(
        f"{name}: {material.record.title or material.job}{state}", tuple(_about(material)), parts
    )


def _parts(material: JobMaterial, audience: Audience) -> Iterator[ReportPart]:
    """Yield the parts for a reader; a commissioning sheet is for both, and stays with the unit."""
    if audience != "file":
        yield owner_part(material)
    session = commissioned(material)
    if session is not None:
        yield commissioning_part(material, session)
    if audience != "owner":
        yield file_part(material)


def _about(material: JobMaterial) -> Iterator[tuple[str, str]]:
    """Yield what the job is about, each with its label; what is not known is left out."""
    record, label, book = material.record, material.record.label, material.book
    unit = book.units[record.unit].title if record.unit in book.units else record.unit
    complaints = dict.fromkeys(
        book.complaints[name].title
        for each in material.sessions
        for name in each.complaints
        if name in book.complaints
    )
    told = (
        ("Job", material.job),
        ("Heater", unit),
        ("Tag", label.tag),
        ("Serial number", label.serial),
        ("Vehicle or place", label.vehicle),
        ("Customer", label.customer),
        ("About", label.about),
        ("The owner says", record.complaint),
        ("Taken down as", in_a_row(complaints)),
        ("Begun", material.local(record.opened) if record.opened else ""),
        ("Closed", material.local(record.ended) if record.ended else ""),
    )
    return ((name, text) for name, text in told if text)
