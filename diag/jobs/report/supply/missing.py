"""What of a supply was not read, each with the one check that would tell it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.bench.supply.known import within
from diag.bench.supply.losses import WIRING, loss_of, losses
from diag.jobs.pictures.read import AT_HEATER, AT_REST, AT_TERMINALS, IGNITING
from diag.jobs.report.material import JobMaterial
from diag.jobs.report.supply.facts import AREA, FUSE, NEGATIVE, POSITIVE, RUN, SupplyFacts


def not_measured(material: JobMaterial, facts: SupplyFacts) -> Iterator[str]:
    """Yield what is not known of the supply, and what to measure for it."""
    for what, wanted in _wanted(facts):
        how = how_to_read(material, wanted)
        if how:
            yield f"{what}: {how}"


def _wanted(facts: SupplyFacts) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield what is not known, and the findings that would tell it."""
    read = facts.now.read
    several = losses(read)
    if loss_of(WIRING, several) is None:
        what = "What the wiring loses, and where"
        if read.terminals:
            yield what, (AT_HEATER,)
        elif read.heater:
            yield what, (AT_TERMINALS,)
        else:
            yield what, (POSITIVE, NEGATIVE)
    elif read.amps is None:
        yield "How many ohm that makes", (IGNITING,)
    elif _loses_too_much(facts) and not (read.positive and read.negative):
        yield "Which of the two cables loses it", (POSITIVE, NEGATIVE)
    if facts.in_brief:
        return
    if facts.battery is None:
        yield "The battery's resistance inside", (AT_REST, AT_TERMINALS, IGNITING)
    if facts.now.length is None:
        yield "The size that the cable must have", (RUN,)
    if facts.now.area is None:
        yield "Whether the cable is thick enough", (AREA,)
    if facts.fuse_a is None and not facts.fuse_compared:
        yield "Whether the fuse fits", (FUSE,)


def _loses_too_much(facts: SupplyFacts) -> bool:
    loss = loss_of(WIRING, losses(facts.now.read))
    return loss is not None and not within(loss.drop.value, facts.limits.wiring_v)


def how_to_read(material: JobMaterial, wanted: Sequence[str]) -> str:
    """Return how some findings are read: the question of a single one, else the check of all.

    Of several checks the shortest; empty where the rules have none.
    """
    book = material.book
    if len(wanted) == 1:
        return book.findings[wanted[0]].ask if wanted[0] in book.findings else ""
    several = [one for one in book.checks.values() if set(wanted) <= set(one.yields)]
    if not several:
        return ""
    return min(several, key=lambda one: (one.minutes, one.id)).do
