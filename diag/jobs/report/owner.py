"""The part of a report that the owner gets: what was wrong, how we know, what to watch."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.entries import Offered, PartUsed
from diag.jobs.history.told import DangerSeen, RepairMade, SessionHistory, Taken
from diag.jobs.pictures.drawn import percent_of
from diag.jobs.report.document import (
    Block,
    Listed,
    Paragraph,
    ReportPart,
    grid,
    in_list,
    part,
    section,
)
from diag.jobs.report.material import (
    LOCAL_RULES_FIRST,
    JobMaterial,
    came_out,
    finding_titled,
    readings_until,
    reason_lines,
    told_value,
)
from diag.jobs.report.standing import (
    cautions_due,
    dangers_that_hold,
    next_steps,
    outcome_words,
)
from diag.jobs.report.supply.told import supply_blocks
from diag.jobs.report.work import licensed
from diag.model.phrasing import capital, in_a_row, small
from diag.model.rulebook import Value

SOUND = (
    "This was no fault of the heater: how it is used, or what it stands in, explains it. Nothing "
    "but the complaint was judged."
)


def owner_part(material: JobMaterial) -> ReportPart:
    """Return what the owner gets; of an open job also how it stands and what comes next."""
    return part(
        "For the owner",
        dangers_that_hold(material),
        section("How it stands", *outcome_words(material), *next_steps(material)),
        section("Dangers that came up, and are over", *_over(material)),
        section("What was wrong", *_wrong(material)),
        section("How we know", *_known(material)),
        section("What was done", *_done(material)),
        section("What to watch", in_list(*_watch(material))),
        section("What the supply wiring needs", *_wiring(material)),
        section(
            "Cautions",
            in_list(*cautions_due(material), *licensed(material), LOCAL_RULES_FIRST),
        ),
    )


def _over(material: JobMaterial) -> Iterator[Block]:
    """Yield the dangers that came up and were released, each with what told that it is over."""
    over: dict[str, DangerSeen] = {}
    for session in material.sessions:
        held = {one.danger for one in session.dangers if one.holds}
        for one in session.dangers:
            if one.danger not in held:
                over.setdefault(one.danger, one)
    told = [
        f"{material.book.dangers[one.danger].title}. Told by: "
        f"{_read(material, one.raised_by, one.raised)}. Over since: "
        f"{_read(material, one.released_by, one.released)}."
        for one in over.values()
    ]
    if told:
        yield Listed(tuple(told))


def _read(material: JobMaterial, finding: str, value: Value) -> str:
    return f"{small(finding_titled(finding))}: {told_value(value, finding, material.book)}"


def _standing(material: JobMaterial) -> Iterator[RepairMade]:
    """Yield the repairs that hold by their proof."""
    return (one for one in material.repairs if one.result.proved or one.result.holds)


def _wrong(material: JobMaterial) -> Iterator[Block]:
    causes = material.book.causes
    found = list(dict.fromkeys(one.cause for one in _standing(material)))
    for name in found:
        yield Paragraph(f"{causes[name].title}.", strong=True)
        if causes[name].no_fault:
            yield Paragraph(SOUND)
        if causes[name].explain:
            yield Paragraph(causes[name].explain)
    if found:
        return
    last = material.sessions[-1:]
    suspects = [one for each in last if not each.is_well for one in each.suspects]
    if suspects:
        yield Paragraph("It is not proved yet what is wrong. As far as was read, it may be:")
        told = (f"{causes[one.cause].title}: {percent_of(one.share)}" for one in suspects)
        yield Listed(tuple(told))


def _known(material: JobMaterial) -> Iterator[Block]:
    """Yield the reasons of each repair, and what was read before and after it."""
    for session in material.sessions:
        for stage, one in enumerate(session.repairs):
            title = material.book.causes[one.cause].title
            read = readings_until(session, stage)
            why = tuple(reason_lines(one.reasons.speaks_for, read, plain=True))
            if why:
                yield Paragraph(
                    f"{title}: {percent_of(one.share)} likely before the repair, since:"
                )
                yield Listed(why)
    rows = list(_changed(material))
    table = grid(("What was read", "Before", "After", "Good is"), rows)
    if table is not None:
        yield table


def _changed(material: JobMaterial) -> Iterator[tuple[str, ...]]:
    """Yield what was read both before a repair and after it, as an owner reads it."""
    for session in material.sessions:
        for name, before, after in before_and_after(session):
            if before is not None and after is not None:
                yield (
                    finding_titled(name),
                    told_value(before.value, name, material.book),
                    told_value(after.value, name, material.book),
                    told_value(after.limit.good, name, material.book),
                )


def before_and_after(
    session: SessionHistory,
) -> Iterator[tuple[str, Taken | None, Taken | None]]:
    """Yield each finding read: as it was last before the first repair, and last after one."""
    for name in dict.fromkeys(one.finding for one in session.readings):
        mine = [one for one in session.readings if one.finding == name]
        before = [one for one in mine if one.stage == 0]
        after = [one for one in mine if one.stage > 0]
        yield name, before[-1] if before else None, after[-1] if after else None


def _done(material: JobMaterial) -> Iterator[Block]:
    rows = [
        (
            material.local(one.at),
            material.book.causes[one.cause].title,
            capital(came_out(one.result)),
        )
        for one in material.repairs
    ]
    yield grid(("When", "Repaired for", "How it came out"), rows) or Paragraph(
        "Nothing has been repaired."
    )
    used = [one.entry for one in material.record.parts if isinstance(one.entry, PartUsed)]
    if used:
        yield Paragraph(f"Parts fitted: {in_a_row(one.name for one in used)}.")
    for one in material.record.offers:
        if isinstance(one.entry, Offered) and not one.entry.accepted:
            why = f": {one.entry.why}" if one.entry.why else ""
            yield Paragraph(f"Offered, and declined by you: {one.entry.what}{why}.")


def _watch(material: JobMaterial) -> Iterator[str]:
    causes = material.book.causes
    for one in _standing(material):
        yield causes[one.cause].tell_owner
    for one in material.repairs:
        if not one.result.proved:
            yield f"{causes[one.cause].title}: {came_out(one.result)}. Watch the next starts."
    for each in material.sessions:
        if each.is_well and each.suspects:
            left = in_a_row(small(causes[one.cause].title) for one in each.suspects)
            yield f"What was read does not rule out: {left}."
        for name in sorted(material.book.asked_first & each.passed.keys()):
            yield f"Nobody could answer this question of danger: {material.book.findings[name].ask}"
    rivals = dict.fromkeys(
        causes[rival.cause].title for one in _standing(material) for rival in one.reasons.rivals
    )
    if rivals:
        yield (
            f"Should the trouble come back, it may also be: {in_a_row(map(small, rivals), 'or')}. "
            "Tell us, and bring this page."
        )
    yield (
        "If a carbon monoxide alarm sounds, or somebody feels ill: switch off, go out into the "
        "air, and have the heater looked at before it is used again."
    )


def _wiring(material: JobMaterial) -> Iterator[Block]:
    """Yield what is told of the supply, and what it takes where a fault of it is suspected."""
    for session in material.sessions:
        wants = [
            f"{material.book.causes[one.cause].title}: {' '.join(_steps(material, one.cause))}"
            for one in session.suspects
            if material.book.causes[one.cause].area == "supply" and not session.is_well
        ]
        if wants:
            yield Paragraph("If it turns out to be so, the supply needs:")
            yield Listed(tuple(wants))
    yield from supply_blocks(material)


def _steps(material: JobMaterial, cause: str) -> tuple[str, ...]:
    return material.book.causes[cause].repair.do
