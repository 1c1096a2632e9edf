"""The commissioning sheet of a unit that was just fitted, bought or serviced."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.history.told import SessionHistory
from diag.jobs.report.commissioning.must_hold import must_hold
from diag.jobs.report.document import (
    Block,
    Grid,
    Paragraph,
    ReportPart,
    SignHere,
    grid,
    in_list,
    part,
    section,
)
from diag.jobs.report.material import (
    JUDGED,
    LOCAL_RULES_FIRST,
    JobMaterial,
    by_reason,
    finding_titled,
)
from diag.jobs.report.standing import cautions_due
from diag.jobs.report.supply.facts import supply_facts
from diag.jobs.report.supply.sheet import supply_table
from diag.session.result import shown

CHECK_IT_OVER = "check it over"
STANDS = {"held": "PASS", "failed": "FAIL", "unread": "not checked", "none": ""}
COLUMNS = ("Checked", "Found", "Good is", "Verdict", "How", "Limit from")


def commissioned(material: JobMaterial) -> SessionHistory | None:
    """Return the last session that was to check a unit over; None where none was."""
    several = [one for one in material.sessions if CHECK_IT_OVER in one.complaints]
    return several[-1] if several else None


def commissioning_part(material: JobMaterial, session: SessionHistory) -> ReportPart:
    """Return the sheet: what was checked with its limits, what was not, and room to sign."""
    return part(
        "Commissioning sheet",
        section("Result", *_result(session)),
        section("What must hold", *_must_hold(material, session)),
        section("The supply, and its limits", *_supply(material, session)),
        section("Everything that was checked", *_checked(session)),
        section("Not checked", *_not_checked(session)),
        section("Cautions", in_list(*cautions_due(material), LOCAL_RULES_FIRST)),
        section("Signed", SignHere(("Checked by", "Licence or trade", "Date", "Owner"))),
    )


def _result(session: SessionHistory) -> Iterator[Block]:
    """Yield the verdict: it passes only where all that must hold was read and holds."""
    failed = [one for one in session.proof if one.stands == "failed"]
    unread = [one for one in session.proof if one.stands == "unread"]
    bad = _not_good(session)
    holding = [one for one in session.dangers if one.holds]
    if holding:
        yield Paragraph("FAIL: a danger holds; the heater is not to be used.", strong=True)
    elif failed:
        yield Paragraph(f"FAIL: {len(failed)} of {len(session.proof)} do not hold.", strong=True)
    elif unread:
        told = f"{len(unread)} of {len(session.proof)} could not be checked"
        yield Paragraph(f"NOT COMPLETE: {told}.", strong=True)
    elif session.proof:
        yield Paragraph("PASS: all that must hold was read, and holds.", strong=True)
    if bad:
        yield Paragraph(f"Not as it should be: {', '.join(bad)}.")


def _not_good(session: SessionHistory) -> list[str]:
    last = {one.finding: one for one in session.readings}
    return [name for name, one in last.items() if one.limit.is_good is False]


def _must_hold(material: JobMaterial, session: SessionHistory) -> Iterator[Block]:
    rows = [
        (
            must_hold(material.book, session.unit, CHECK_IT_OVER, one.condition),
            "; ".join(f"{name}: {shown(value)}" for name, value in one.read),
            STANDS[one.stands],
            ", ".join(one.missing),
        )
        for one in session.proof
    ]
    made = grid(("What must hold", "Read", "Verdict", "Not read"), rows)
    if made is not None:
        bad = {at for at, one in enumerate(session.proof) if one.stands == "failed"}
        yield Grid(made.head, made.rows, frozenset(bad))


def _checked(session: SessionHistory) -> Iterator[Block]:
    """Yield the last reading of everything, numbers first."""
    last = {one.finding: one for one in session.readings}.values()
    several = sorted(last, key=lambda one: isinstance(one.value, str))
    rows = [
        (
            finding_titled(one.finding),
            shown(one.value) + (f" +/- {one.meter}" if one.meter else ""),
            one.limit.good,
            " ".join(filter(None, (JUDGED[one.limit.is_good], one.limit.missed))),
            one.how,
            one.limit.origin,
        )
        for one in several
    ]
    made = grid(COLUMNS, rows)
    if made is not None:
        bad = {at for at, one in enumerate(several) if one.limit.is_good is False}
        yield Grid(made.head, made.rows, frozenset(bad))


def _supply(material: JobMaterial, session: SessionHistory) -> Iterator[Block]:
    """Yield the readings of the supply beside what it has to keep."""
    facts = supply_facts(session, material.book)
    table = None if facts is None else supply_table(material, facts)
    if table is not None:
        yield table


def _not_checked(session: SessionHistory) -> Iterator[Block]:
    """Yield what was passed over, and what the rules could not ask for with what was at hand."""
    read = {one.finding for one in session.readings}
    missing = dict.fromkeys(name for one in session.proof for name in one.missing)
    why = dict.fromkeys(missing, "not read")
    why |= dict.fromkeys(session.out_of_reach, "what it takes was not at hand")
    why |= session.passed
    rows = by_reason((name, one) for name, one in why.items() if name not in read)
    yield grid(("Why", "Not checked"), rows) or Paragraph(
        "Nothing that was asked for was left out."
    )
    yield Paragraph("What the rules did not ask for was not looked at.")
