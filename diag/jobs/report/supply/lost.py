"""What was lost where, in words: part by part, and whether cable or joint is to blame."""

from __future__ import annotations

from collections.abc import Iterator

from diag.bench.figures import DerivedFigure, Measurement
from diag.bench.supply.known import (
    MOST_BATTERY,
    MOST_CABLE,
    MOST_WIRING,
    LaidCable,
    WiringLimits,
    within,
)
from diag.bench.supply.losses import (
    WIRING,
    Blame,
    PartLoss,
    blamed,
    copper_loss,
    loss_of,
    losses,
    rising,
)
from diag.jobs.pictures.drawn import SupplyLosses, told_in_words
from diag.jobs.report.document import Block, Paragraph, grid
from diag.jobs.report.material import JobMaterial, finding_titled, told_value
from diag.jobs.report.supply.facts import StartSeen, SupplyFacts
from diag.jobs.report.supply.written import area, ignition_amps, lost, milliohms, volts
from diag.model.frozen import frozen
from diag.model.phrasing import capital
from diag.physics.errors import PhysicsError
from diag.physics.supply.split import BATTERY, NEGATIVE_CABLE, POSITIVE_CABLE

SUPPLY_PARTS = {
    BATTERY: "Inside the battery",
    WIRING: "Both cables with their joints",
    POSITIVE_CABLE: "Positive cable, with fuse and joints",
    NEGATIVE_CABLE: "Negative cable, with earth and joints",
}
SEEN = (
    "positive joint", "earth joint", "supply fuse", "warm joint", "drop across single joints",
    "volts along the supply",
)  # fmt: skip
"""What is seen of joints and fuse, and told where it is not as it should be."""


@frozen
class WiringVerdict:
    """What the wiring of a start loses, what its copper may take of that, and what is to blame."""

    blame: Blame
    loss: PartLoss
    copper: DerivedFigure | None
    sides: tuple[PartLoss, ...]


def verdict_on_wiring(facts: SupplyFacts, start: StartSeen) -> WiringVerdict | None:
    """Judge what the wiring lost in a start; None where that was not read."""
    several = losses(start.read)
    loss = loss_of(WIRING, several)
    if loss is None:
        return None
    sides = tuple(one for one in several if one.part in (POSITIVE_CABLE, NEGATIVE_CABLE))
    amps = start.read.amps or facts.ignition
    if start.cable is None or amps is None:
        good = within(loss.drop.value, facts.limits.wiring_v)
        return WiringVerdict("nothing" if good else "not told", loss, None, sides)
    igniting = facts.ignition or amps
    try:
        copper = copper_loss(start.cable, amps)
        least = copper_loss(start.cable, amps, "solid") if start.read.amps else None
        at_ignition = copper_loss(start.cable, igniting).value
    except PhysicsError:  # an area that no table holds
        return WiringVerdict("not told", loss, None, sides)
    return WiringVerdict(
        blamed(loss.drop, copper, least, facts.limits, at_ignition), loss, copper, sides
    )


def what_was_lost(material: JobMaterial, facts: SupplyFacts) -> Iterator[Block]:
    """Yield what was lost as found and after the last repair, and what is to blame for it."""
    shown = facts.starts[:1] + facts.starts[1:][-1:]
    for start in shown:
        drawn = [
            one
            for stage, one in facts.session.pictures
            if stage == start.stage and isinstance(one, SupplyLosses)
        ]
        if drawn:
            yield Paragraph(f"{_when(start)}: {told_in_words(drawn[0])}")
    table = grid(("Lost", *map(_when, shown), "Good is"), list(_rows(facts, shown)))
    if table is not None:
        yield table
        yield Paragraph("1 mohm is a thousandth of an ohm.")
    for start in _with_news(facts, shown):
        told = " ".join(_told(facts, start))
        if told:
            yield Paragraph(f"{_when(start)}: {told}")
    seen = list(_seen(material, facts))
    if seen:
        yield Paragraph(f"Seen at joints and fuse: {'; '.join(seen)}.")


def _with_news(facts: SupplyFacts, shown: tuple[StartSeen, ...]) -> tuple[StartSeen, ...]:
    """Return the starts without the first where the last one says the same of the wiring."""
    blames = {one.blame if one else "" for one in (verdict_on_wiring(facts, at) for at in shown)}
    return shown[-1:] if len(blames) == 1 else shown


def _when(start: StartSeen) -> str:
    return "After the repair" if start.stage else "As found"


@frozen
class PartLimit:
    """The most that a part may lose in V, of the battery what it may have inside in ohm."""

    threshold: str
    most: float
    written: str


def part_limit(part: str, limits: WiringLimits) -> PartLimit:
    """Return the limit of a part of the supply."""
    if part == BATTERY:
        most = limits.battery_ohm
        return PartLimit(MOST_BATTERY, most, f"{milliohms(most)} or less")
    whole = part == WIRING
    most = limits.wiring_v if whole else limits.one_cable_v
    return PartLimit(MOST_WIRING if whole else MOST_CABLE, most, f"{volts(most)} or less")


def _rows(facts: SupplyFacts, shown: tuple[StartSeen, ...]) -> Iterator[tuple[str, ...]]:
    found = [(one, losses(one.read)) for one in shown]
    for part, title in SUPPLY_PARTS.items():
        cells = [
            lost(loss, start.read.amps) if (loss := loss_of(part, several)) else ""
            for start, several in found
        ]
        if any(cells):
            yield (title, *cells, part_limit(part, facts.limits).written)


def _told(facts: SupplyFacts, start: StartSeen) -> Iterator[str]:
    """Yield what follows from a start: within its limit or not, and from what."""
    for part in rising(start.read):
        yield (
            f"The volts seem to rise along the {part}, which cannot be: they were not read in one "
            "start, or in each other's place."
        )
    verdict = verdict_on_wiring(facts, start)
    if verdict is not None:
        yield from _within(facts, verdict)
        yield from _blame(facts, start, verdict)
        yield from _sides(facts, verdict)


def _within(facts: SupplyFacts, verdict: WiringVerdict) -> Iterator[str]:
    limit = volts(facts.limits.wiring_v)
    if within(verdict.loss.drop.value, facts.limits.wiring_v):
        yield f"The wiring loses no more than the {limit} that it may."
    else:
        yield f"The wiring loses more than the {limit} that it may."


def _blame(facts: SupplyFacts, start: StartSeen, verdict: WiringVerdict) -> Iterator[str]:
    if verdict.copper is None or start.cable is None:
        if verdict.blame == "not told":
            yield "Whether the cable is too thin or a joint is bad was not told by what was read."
        return
    takes = _takes(facts, start, verdict.copper)
    excess = verdict.loss.drop.value - verdict.copper.value
    beyond = f"{volts(excess)}{_ohms(excess, start.read.amps)}"
    yield {
        "nothing": capital(takes),
        "cable": f"The cable itself is to blame: {takes}",
        "joints": (
            f"A joint is to blame, and not the cable: {takes} The other {beyond} are lost in "
            "clamps, crimps, fuse holder or earth."
        ),
        "cable and joints": (
            f"Both are to blame. The cable is too thin: {takes} The other {beyond} are lost in "
            "clamps, crimps, fuse holder or earth."
        ),
        "not told": (
            f"Whether cable or joint is to blame cannot be told within the meter's error: {takes}"
        ),
        "not of this cable": (
            f"{capital(takes)} Less was lost than that: the cable is shorter or thicker than was "
            "taken down, or the volts were not read in one start. Measure its length and its "
            "copper."
        ),
    }[verdict.blame]


def _ohms(drop_v: float, amps: Measurement | None) -> str:
    return f" ({milliohms(drop_v / amps.value)})" if amps else ""


def _takes(facts: SupplyFacts, start: StartSeen, copper: DerivedFigure) -> str:
    """Say what the copper of a cable takes by itself, and at what current."""
    cable, amps = start.cable, start.read.amps
    assert cable is not None
    at = f"{amps.value:g} A" if amps else ignition_amps(facts)
    ohm = copper.value / (amps or facts.ignition or Measurement("", 1.0, 0.0, "A")).value
    return (
        f"the copper of {2 * cable.length.value:g} m of {area(cable.area.value)} "
        f"({_from(cable)}) takes up to {volts(copper.value)} by itself at {at} "
        f"({milliohms(ohm)})."
    )


def _from(cable: LaidCable) -> str:
    """Say where length and area come from; of two sources, both."""
    several = dict.fromkeys((cable.length.name, cable.area.name))
    if len(several) == 1:
        return f"there and back, {next(iter(several))}"
    return f"length {cable.length.name}, area {cable.area.name}"


def _sides(facts: SupplyFacts, verdict: WiringVerdict) -> Iterator[str]:
    """Yield the cable that loses more than it may, where the other one does not."""
    over = [one for one in verdict.sides if not within(one.drop.value, facts.limits.one_cable_v)]
    if len(over) == 1 and len(verdict.sides) == 2:
        yield (
            f"The {over[0].part} by itself loses more than the {volts(facts.limits.one_cable_v)} "
            "that one may, and the other does not: look at the joints there first."
        )


def _seen(material: JobMaterial, facts: SupplyFacts) -> Iterator[str]:
    """Yield what was seen last at joints and fuse, where that is not as it should be."""
    last = {one.finding: one for one in facts.session.readings}
    for name in SEEN:
        one = last.get(name)
        if one is not None and one.limit.is_good is False:
            when = " (as found)" if facts.session.repairs and not one.stage else ""
            yield f"{finding_titled(name)}{when}: {told_value(one.value, name, material.book)}"
