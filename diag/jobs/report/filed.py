"""The part of a report that goes into the file: all that was read, done, proved and left."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.entries import Attached, Figured, Remarked, Unreadable
from diag.jobs.pictures.drawn import percent_of
from diag.jobs.report.document import (
    Block,
    Paragraph,
    ReportPart,
    SignHere,
    grid,
    in_list,
    part,
    section,
)
from diag.jobs.report.material import (
    LOCAL_RULES_FIRST,
    JobMaterial,
    by_reason,
    readings_until,
    reason_lines,
)
from diag.jobs.report.readings import beliefs, meters, pictures, readings_in_order, side_by_side
from diag.jobs.report.supply.told import supply_in_file
from diag.jobs.report.work import charged, licensed, offers, repairs
from diag.session.result import shown


def file_part(material: JobMaterial) -> ReportPart:
    """Return what goes into the file."""
    return part(
        "For the file",
        section(
            "Readings, before and after repairs" if material.repairs else "Readings",
            *side_by_side(material),
        ),
        section("Meters and their errors", *meters(material)),
        section("Sums on the supply", *supply_in_file(material)),
        section("Pictures", *pictures(material)),
        section("Dangers, and how they were released", *_dangers(material)),
        section("Repairs and their proof", *repairs(material)),
        section("Parts and work", *charged(material)),
        section("Offered to the owner", *offers(material)),
        section("Why, and what else it could be", *_why(material)),
        section("Not checked", *_not_checked(material)),
        section(
            "Work left to those licensed for it", in_list(*licensed(material), LOCAL_RULES_FIRST)
        ),
        section("Notes, sums and files", *_beside(material)),
        section("On what this rests", in_list(*_rests_on(material))),
        section("Signed", SignHere(("Done by", "Date", "Received by the owner", "Date"))),
        section("Every reading, in order", *readings_in_order(material)),
        section("Belief after each answer", *beliefs(material)),
    )


def _dangers(material: JobMaterial) -> Iterator[Block]:
    book = material.book
    rows = [
        (
            book.dangers[one.danger].title,
            f"{one.raised_by}: {shown(one.raised)}, {material.local(one.raised_at)}",
            "HOLDS"
            if one.holds
            else f"{one.released_by}: {shown(one.released)}, {material.local(one.released_at)}",
        )
        for session in material.sessions
        for one in session.dangers
    ]
    yield grid(("Danger", "Raised by", "Released by"), rows) or Paragraph("No danger came up.")
    for session in material.sessions:
        for slip in session.slips:
            now = "taken back" if slip.now is None else f"corrected to {shown(slip.now)}"
            yield Paragraph(f"A slip: {slip.finding} was {now}, and with it a danger.")


def _why(material: JobMaterial) -> Iterator[Block]:
    causes = material.book.causes
    for session in material.sessions:
        known = [(at, one.cause, one.share, one.reasons) for at, one in enumerate(session.repairs)]
        now = len(session.repairs)
        known += [(now, one.cause, one.share, one.reasons) for one in session.suspects]
        for stage, cause, share, reasons in known:
            yield Paragraph(f"{causes[cause].title} ({percent_of(share)})", strong=True)
            told = in_list(
                *reason_lines(reasons.speaks_for, readings_until(session, stage)),
                *(f"Against it: {one.sign} is {one.state}." for one in reasons.against),
                *(
                    f"It could also be: {causes[one.cause].title} ({percent_of(one.share)}"
                    + (f", told by {one.told_by}, not read)" if one.told_by else ")")
                    + "."
                    for one in reasons.rivals
                ),
            )
            if told is not None:
                yield told


def _not_checked(material: JobMaterial) -> Iterator[Block]:
    why = dict[str, str]()
    for session in material.sessions:
        read = {one.finding for one in session.readings}
        held = dict.fromkeys(session.out_of_reach, "what it takes was not at hand")
        held |= session.passed
        why |= {name: one for name, one in held.items() if name not in read}
    table = grid(("Why", "Not read"), by_reason(why.items()))
    yield table or Paragraph("Nothing that was asked for was passed over.")
    declined = dict.fromkeys(one for each in material.sessions for one in each.declined)
    if declined:
        titles = ", ".join(material.book.causes[one].title for one in declined)
        yield Paragraph(f"Repairs proposed and not made: {titles}.")
    yield Paragraph("What was not asked for was not looked at.")


def _beside(material: JobMaterial) -> Iterator[Block]:
    record = material.record
    notes = [
        f"{material.local(one.at)}: {one.entry.text}"
        for one in (*record.notes, *record.figures)
        if isinstance(one.entry, Remarked | Figured)
    ]
    notes += [text for session in material.sessions for text in session.notes]
    told = in_list(*notes)
    if told is not None:
        yield told
    rows = [
        (one.entry.path, f"{one.entry.size} bytes", one.entry.sha256)
        for one in record.attached
        if isinstance(one.entry, Attached)
    ]
    table = grid(("File", "Size", "SHA-256"), rows)
    if table is not None:
        yield table


def _rests_on(material: JobMaterial) -> Iterator[str]:
    yield from material.history.left_out
    for session in material.sessions:
        name = f"Session {session.session}"
        if session.rules_changed:
            yield f"{name}: the rules have changed since; it is judged by the new ones."
        for why in session.left_out:
            yield f"{name}: {why}."
    for one in material.record.unreadable:
        if isinstance(one.entry, Unreadable):
            yield f"An entry `{one.entry.kind}` of the job cannot be read, and is left out."
    yield f"Rules {material.book.hash[:12]}; job {material.job}."
    yield (
        "A class value stands for heaters of that class, not for this one: its own label and "
        "manual come first."
    )
