"""The supply for whoever inspects it: readings beside their limits, and sums with their sources."""

from __future__ import annotations

from collections.abc import Iterator

from diag.bench.figures import DerivedFigure, rounded
from diag.bench.supply.known import FUSE_CURRENT, LEAST_FUSE, RESERVE, within
from diag.bench.supply.losses import losses
from diag.bench.supply.needs import fuse_range, least_area_mm2, rest_needed_v
from diag.jobs.report.document import Block, Grid, grid
from diag.jobs.report.material import JUDGED, JobMaterial
from diag.jobs.report.supply.facts import CUT_OFF_DATUM, IGNITION, MEASURED, SupplyFacts
from diag.jobs.report.supply.lost import SUPPLY_PARTS, part_limit, verdict_on_wiring
from diag.jobs.report.supply.written import area, down, lost, up, volts
from diag.model.frozen import frozen
from diag.physics.supply.split import BATTERY

NOT_READ, DOUBTED = "not read", "; in doubt, as less was lost than that takes"
IEC = "IEC 60228:2004 Table 3, class 5 at 20 C"


@frozen
class LimitRow:
    """One thing of the supply: what was found, what is good, whether it is, and whose limit."""

    what: str
    found: str
    good: str
    is_good: bool | None
    origin: str


def supply_table(material: JobMaterial, facts: SupplyFacts) -> Block | None:
    """Return the supply as a table: what was found beside what it has to be."""
    rows = list(_limit_rows(material, facts))
    made = grid(
        ("Supply", "Found", "Good is", "Verdict", "Limit from"),
        [(one.what, one.found, one.good, JUDGED[one.is_good], one.origin) for one in rows],
    )
    if made is None:
        return None
    return Grid(
        made.head, made.rows, frozenset(at for at, one in enumerate(rows) if one.is_good is False)
    )


def _limit_rows(material: JobMaterial, facts: SupplyFacts) -> Iterator[LimitRow]:
    yield from _at_the_heater(material, facts)
    yield from _parts(material, facts)
    if facts.ignition is not None:
        yield from _cable(facts)
        yield from _fuse(material, facts)
        yield from _at_rest(facts)


def _at_the_heater(material: JobMaterial, facts: SupplyFacts) -> Iterator[LimitRow]:
    heater, wanted = facts.now.read.heater, facts.heater_v
    if wanted is None:
        return
    yield LimitRow(
        "At the heater's connector, igniting",
        volts(heater.value) if heater else NOT_READ,
        f"{up(wanted)} V or more",
        within(wanted, heater.value) if heater else None,
        f"{_datum(facts, CUT_OFF_DATUM)} and a reserve of {facts.limits.reserve_v:g} V, "
        f"{_origin(material, RESERVE)}",
    )


def _parts(material: JobMaterial, facts: SupplyFacts) -> Iterator[LimitRow]:
    several = {one.part: one for one in losses(facts.now.read)}
    for part, title in SUPPLY_PARTS.items():
        limit, one = part_limit(part, facts.limits), several.get(part)
        value = None if one is None else one.ohm if part == BATTERY else one.drop
        yield LimitRow(
            title,
            lost(one, facts.now.read.amps) if one else NOT_READ,
            limit.written,
            within(value.value, limit.most) if value else None,
            _origin(material, limit.threshold),
        )


def _cable(facts: SupplyFacts) -> Iterator[LimitRow]:
    assert facts.ignition is not None
    length, there = facts.now.length, facts.now.area
    wanted = least_area_mm2(length.value, facts.ignition.value, facts.limits) if length else None
    long = f"{length.value:g} m one way {length.name}" if length else "length not known"
    thick = f"{area(there.value)} {there.name}" if there else "area not known"
    verdict = verdict_on_wiring(facts, facts.now)
    doubted = verdict is not None and verdict.blame == "not of this cable"
    yield LimitRow(
        "Supply cable",
        f"{long}, {thick}" + (DOUBTED if doubted else ""),
        f"{area(wanted)} or more" if wanted else "",
        within(wanted, there.value) if there and wanted and not doubted else None,
        f"{IEC}; {_datum(facts, IGNITION)}" if wanted else "",
    )


def _fuse(material: JobMaterial, facts: SupplyFacts) -> Iterator[LimitRow]:
    assert facts.ignition is not None
    there, rating = facts.now.area, facts.fuse_a
    fits = fuse_range(there.value, facts.ignition.value, facts.limits) if there else None
    least = facts.limits.least_fuse * facts.ignition.value
    yield LimitRow(
        "Fuse",
        f"{rating:g} A" if rating else facts.fuse_compared or NOT_READ,
        f"{up(least)} A to {down(fits.most_a, 3)} A" if fits else f"{up(least)} A or more",
        fits.takes(rating) if fits and rating else None,
        "; ".join(dict.fromkeys(_origin(material, one) for one in (LEAST_FUSE, FUSE_CURRENT))),
    )


def _at_rest(facts: SupplyFacts) -> Iterator[LimitRow]:
    assert facts.ignition is not None
    if facts.heater_v is None:
        return
    rest, amps = facts.now.read.rest, facts.ignition.value
    needed = rest_needed_v(
        facts.heater_v, amps, facts.limits.wiring_v / amps, facts.limits.battery_ohm
    )
    yield LimitRow(
        "Battery at rest, for a start",
        volts(rest.value) if rest else NOT_READ,
        f"{up(needed)} V or more",
        within(float(up(needed)), rest.value) if rest else None,
        "Ohm's law, with all that battery and wiring may lose",
    )


def _datum(facts: SupplyFacts, name: str) -> str:
    data, whose = facts.session.unit.data, "class value" if facts.class_value(name) else "unit file"
    return f"{name} {data[name]} ({whose})" if name in data else f"{name} {MEASURED}"


def _origin(material: JobMaterial, threshold: str) -> str:
    origin = material.book.thresholds[threshold].origin
    return str(origin) if origin else ""


def supply_sums(facts: SupplyFacts) -> Iterator[Block]:
    """Yield the sums on the supply of each start, with formula and source."""
    rows = []
    for start in facts.starts:
        when = f"After repair {start.stage}" if start.stage else "As found"
        figures: list[tuple[str, DerivedFigure]] = []
        for one in losses(start.read):
            figures.append((f"Lost, {one.part}", one.drop))
            if one.ohm is not None:
                figures.append((f"Resistance, {one.part}", one.ohm))
        verdict = verdict_on_wiring(facts, start)
        if verdict is not None and verdict.copper is not None:
            figures.append(("Lost, the copper by itself", verdict.copper))
        rows += [
            (
                name,
                when,
                rounded(one.value, one.error, one.unit).replace("+-", "+/-"),
                one.formula,
                one.source,
            )
            for name, one in figures
        ]
    table = grid(("Figure", "Stage", "Value", "Sum", "Source"), rows)
    if table is not None:
        yield table
