"""A quote before the work: what is suspected, what its repair takes, and what else may come."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.history.told import PutForward
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
    reason_lines,
    told_minutes,
)
from diag.jobs.report.standing import dangers_that_hold, next_steps, outcome_words
from diag.jobs.report.supply.told import supply_in_quote
from diag.jobs.report.work import offers
from diag.model.phrasing import in_a_row, small
from diag.model.rulebook import Cause

NOT_BINDING = (
    "This is an estimate by the readings so far, and no promise: what else comes to light is "
    "shown to you before more is done. Minutes are those of the rules, for somebody used to it."
)
TO_FILL_IN = "__________"
NOTHING_SUSPECTED = "Nothing is suspected that would take work, as far as was read."
UNDER_TEST = "A repair was made, and its test run has yet to tell whether more has to be repaired."
NO_FAULT = "use or weather, no fault of the heater"


def quote_part(material: JobMaterial) -> ReportPart:
    """Return the quote of a job, by its last session as it stands."""
    last = [each for each in material.sessions[-1:] if not each.is_well]
    suspects = [one for each in last for one in each.suspects]
    return part(
        "Quote before the work",
        dangers_that_hold(material),
        section("How it stands", *outcome_words(material), Paragraph(NOT_BINDING)),
        section("What is suspected, and what it takes", *_suspected(material, suspects)),
        section("What the supply wiring needs", *supply_in_quote(material)),
        section("Why", *_why(material, suspects)),
        section("Alternatives", in_list(*_alternatives(material, suspects))),
        section("Before that is certain", *next_steps(material)),
        section("Cautions", in_list(*_cautions(material, suspects), LOCAL_RULES_FIRST)),
        section("Offered so far", *offers(material)),
        section("Agreed", SignHere(("To be done", "Declined", "Owner", "Date"))),
    )


def _suspected(material: JobMaterial, suspects: list[PutForward]) -> Iterator[Block]:
    rows = []
    for one in suspects:
        cause = material.book.causes[one.cause]
        rows.append(
            (
                cause.title + (f" ({NO_FAULT})" if cause.no_fault else ""),
                percent_of(one.share),
                " ".join(cause.repair.do),
                ", ".join(cause.repair.parts) or "none",
                _takes(cause),
                TO_FILL_IN,
            )
        )
    head = ("Suspected", "Likely", "The work", "Parts", "Time", "Price")
    table = grid(head, rows)
    if table is None:
        under_test = material.repairs and not material.repairs[-1].result.proved
        yield Paragraph(UNDER_TEST if under_test else NOTHING_SUSPECTED)
        return
    yield table
    yield Paragraph("Prices are not in the rules: they are filled in before anything is ordered.")


def _takes(cause: Cause) -> str:
    waits = f", {told_minutes(cause.repair.waits)} of waiting" if cause.repair.waits >= 1 else ""
    return told_minutes(cause.repair.minutes) + waits


def _why(material: JobMaterial, suspects: list[PutForward]) -> Iterator[Block]:
    readings = [one for each in material.sessions[-1:] for one in each.readings]
    for one in suspects[:2]:
        lines = in_list(*reason_lines(one.reasons.speaks_for, readings, plain=True))
        if lines is not None:
            yield Paragraph(f"{material.book.causes[one.cause].title}:", strong=True)
            yield lines


def _alternatives(material: JobMaterial, suspects: list[PutForward]) -> Iterator[str]:
    """Yield what else can be done: another repair first, a further look, or to leave it."""
    causes = material.book.causes
    others = [small(causes[one.cause].title) for one in suspects[1:]]
    if others:
        yield f"If the first repair does not help, next in question: {in_a_row(others, 'or')}."
    telling = dict.fromkeys(
        rival.told_by for one in suspects for rival in one.reasons.rivals if rival.told_by
    )
    if telling:
        yield f"To be looked at before parts are bought, as it tells which: {in_a_row(telling)}."
    held = [one for each in material.sessions for one in each.dangers if one.holds]
    if held:
        titles = in_a_row(dict.fromkeys(material.book.dangers[one.danger].title for one in held))
        yield f"To leave it as it is and use it is no alternative while this holds: {titles}."
    elif suspects:
        yield "To leave it as it is: the trouble stays, and the heater is not to be relied on."


def _cautions(material: JobMaterial, suspects: list[PutForward]) -> Iterator[str]:
    book = material.book
    for one in suspects:
        cause = book.causes[one.cause]
        yield from (book.cautions[name] for name in cause.cautions if name in book.cautions)
        yield cause.repair.licensed
