"""What was done in a job, for the file: repairs and their proof, parts, minutes, offers."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.entries import Offered, PartUsed, Worked
from diag.jobs.pictures.drawn import percent_of
from diag.jobs.report.document import Block, Paragraph, grid
from diag.jobs.report.material import JobMaterial, came_out, told_minutes
from diag.jobs.report.prices import total
from diag.model.phrasing import capital


def repairs(material: JobMaterial) -> Iterator[Block]:
    causes = material.book.causes
    rows = [
        (
            str(number),
            material.local(one.at),
            causes[one.cause].title
            + (" (on trial)" if causes[one.cause].status == "trial" else ""),
            percent_of(one.share),
            capital(came_out(one.result)),
            ", ".join(one.result.unread),
        )
        for number, one in enumerate(material.repairs, 1)
    ]
    head = ("No.", "When", "Repaired for", "Likely before", "Proof", "Not read")
    yield grid(head, rows) or Paragraph("Nothing has been repaired.")
    for number, one in enumerate(material.repairs, 1):
        yield Paragraph(
            f"Steps of repair {number} by the rules: {' '.join(causes[one.cause].repair.do)}"
        )


def charged(material: JobMaterial) -> Iterator[Block]:
    record = material.record
    used = [one.entry for one in record.parts if isinstance(one.entry, PartUsed)]
    rows = [(one.name, one.cause, one.price) for one in used]
    whole = total(one.price for one in used)
    if whole is not None and len(used) > 1:
        rows.append(("Total of the parts", "", str(whole)))
    table = grid(("Part", "For", "Price"), rows)
    if table is not None:
        yield table
    if len(used) > 1 and whole is None and any(one.price for one in used):
        yield Paragraph("No total: not every price is a number of one currency.")
    worked = [one.entry for one in record.work if isinstance(one.entry, Worked)]
    spent = [(one.what or "work", told_minutes(one.minutes)) for one in worked]
    if len(worked) > 1:
        spent.append(("Total of the work", told_minutes(sum(one.minutes for one in worked))))
    hours = grid(("Work", "Time"), list(spent))
    if hours is not None:
        yield hours
    if not (used or worked):
        yield Paragraph("No parts and no minutes were written down.")
    minutes = sum(one.spent.minutes for one in material.sessions)
    waiting = sum(one.spent.waiting for one in material.sessions)
    waited = f" and {told_minutes(waiting)} of waiting" if waiting >= 1 else ""
    yield Paragraph(
        f"By the rules the checks and repairs made take {told_minutes(minutes)}{waited}."
    )


def offers(material: JobMaterial) -> Iterator[Block]:
    rows = [
        (
            material.local(one.at),
            one.entry.what,
            "accepted" if one.entry.accepted else "DECLINED",
            one.entry.why,
        )
        for one in material.record.offers
        if isinstance(one.entry, Offered)
    ]
    table = grid(("When", "What", "Owner", "Why"), rows)
    if table is not None:
        yield table


def licensed(material: JobMaterial) -> Iterator[str]:
    book = material.book
    for one in material.repairs:
        yield book.causes[one.cause].repair.licensed
    for session in material.sessions:
        for seen in session.dangers:
            yield book.dangers[seen.danger].licensed
        for suspect in () if session.is_well else session.suspects[:1]:
            yield book.causes[suspect.cause].repair.licensed
