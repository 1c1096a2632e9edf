"""The supply as an owner reads of it: what it loses, what it needs, and what nobody measured."""

from __future__ import annotations

from collections.abc import Iterator

from diag.jobs.history.told import SessionHistory
from diag.jobs.report.document import Block, Listed, Paragraph, in_list
from diag.jobs.report.material import JobMaterial, session_named
from diag.jobs.report.supply.facts import CUT_OFF_DATUM, IGNITION, SupplyFacts, supply_facts
from diag.jobs.report.supply.lost import verdict_on_wiring, what_was_lost
from diag.jobs.report.supply.missing import not_measured
from diag.jobs.report.supply.needs import how_to_check_again, what_it_needs
from diag.jobs.report.supply.sheet import supply_sums, supply_table
from diag.model.phrasing import in_a_row

WIRING_FIRST = (
    "Work on the supply wiring, its fuse and its joints is for somebody licensed for it where "
    "local rules say so. Those rules and the heater's manual come before what stands here. A short "
    "circuit can set a cable alight: never fit a fuse larger than the cable can carry."
)


def supply_blocks(material: JobMaterial) -> Iterator[Block]:
    """Yield what is told of the supply; of a job that nobody looked at, nothing."""
    several = [(one, facts) for one in material.sessions if (facts := facts_of(material, one))]
    if not several:
        return
    started = [(one, facts) for one, facts in several if facts.starts]
    if not started:
        yield Paragraph("What the supply loses during a start was not measured in this job.")
    for session, facts in started:
        if lead := session_named(session, material):
            yield Paragraph(lead, strong=True)
        yield from what_was_lost(material, facts)
    _, last = (started or several)[-1]
    needs = in_list(*what_it_needs(last), *how_to_check_again(material, last))
    yield from needs_blocks(last, needs)
    missing = in_list(*not_measured(material, last))
    if missing is not None:
        since = " since the repair" if last.starts and last.now not in last.starts else ""
        wait = ", once the danger is over" if last.danger_holds else ""
        yield Paragraph(f"Not measured{since}, and what would tell it{wait}:")
        yield missing
    yield Paragraph(WIRING_FIRST)


def facts_of(material: JobMaterial, session: SessionHistory) -> SupplyFacts | None:
    """Return what a session of the job knows of the supply."""
    return supply_facts(session, material.book)


def needs_blocks(facts: SupplyFacts, needs: Listed | None) -> Iterator[Block]:
    """Yield what the supply has to be, and on what values of the heater's class that rests."""
    if needs is not None:
        yield Paragraph("What this heater needs of its supply:", strong=True)
        yield needs
    by_class = [
        f"{name} {facts.session.unit.data[name]}"
        for name in (IGNITION, CUT_OFF_DATUM)
        if name in facts.session.unit.data and facts.class_value(name)
    ]
    if by_class:
        yield Paragraph(
            f"Usual for heaters of its kind, and not known of this one: {in_a_row(by_class)}. Its "
            "own label and manual come first."
        )


def supply_in_file(material: JobMaterial) -> Iterator[Block]:
    """Yield the supply of each session beside its limits, and the sums with their sources."""
    for session in material.sessions:
        facts = facts_of(material, session)
        if facts is None or not facts.starts:
            continue
        if lead := session_named(session, material):
            yield Paragraph(lead, strong=True)
        read = verdict_on_wiring(facts, facts.now) is not None
        table = supply_table(material, facts) if read else None
        if table is not None:
            yield table
        yield from supply_sums(facts)


def supply_in_quote(material: JobMaterial) -> Iterator[Block]:
    """Yield what the supply has to be, where a fault of it is suspected or it loses too much."""
    for session in material.sessions[-1:]:
        suspects = () if session.is_well else session.suspects
        facts = facts_of(material, session)
        causes = (material.book.causes[one.cause] for one in suspects)
        verdict = verdict_on_wiring(facts, facts.now) if facts else None
        bad = verdict is not None and verdict.blame not in ("nothing", "not of this cable")
        if facts and (bad or any(one.area == "supply" for one in causes)):
            yield from what_was_lost(material, facts)
            yield from needs_blocks(facts, in_list(*what_it_needs(facts)))
            yield Paragraph(WIRING_FIRST)
