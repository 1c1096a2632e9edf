"""What a heater's supply has to be, in words: cable, fuse, battery, and how it is checked again."""

from __future__ import annotations

from collections.abc import Iterator

from diag.bench.figures import Measurement
from diag.bench.supply.known import LaidCable, within
from diag.bench.supply.losses import WIRING, copper_loss, loss_of, losses
from diag.bench.supply.needs import (
    USUAL_AREAS_MM2,
    fuse_range,
    least_area_mm2,
    longest_run_m,
    rest_needed_v,
    small_craft_area_mm2,
)
from diag.jobs.pictures.read import AT_HEATER
from diag.jobs.report.material import JobMaterial
from diag.jobs.report.supply.facts import CUT_OFF_DATUM, SupplyFacts
from diag.jobs.report.supply.lost import verdict_on_wiring
from diag.jobs.report.supply.written import (
    USUAL_FOR_ITS_KIND,
    area,
    down,
    ignition_amps,
    milliohms,
    up,
    volts,
    written_length,
)
from diag.physics.supply.charge import ChargeBand, charge_band
from diag.physics.supply.split import BATTERY

SMALL_CRAFT = "The standards for small craft (ISO 10133, ABYC E-11)"
FAR_M = 10.0
"""Farther than that from its battery hardly a heater stands; one size that reaches it will do."""
TOO_LARGE = "large"
LISTED_SYSTEMS_V = (12.0, 24.0)
LEAD_ACID, LITHIUM = "lead-acid", "lithium"
RESTED_H = 24.0
"""Hours after which the volts at rest tell the charge of any lead-acid battery."""


def what_it_needs(facts: SupplyFacts) -> Iterator[str]:
    """Yield what cable, fuse and battery have to be."""
    if facts.ignition is not None:
        yield " ".join(_cable(facts))
        yield " ".join(_fuse(facts))
        yield " ".join(_battery(facts))


def _cable(facts: SupplyFacts) -> Iterator[str]:
    assert facts.ignition is not None
    length, amps = facts.now.length, facts.ignition.value
    if length is None:
        yield "Cable: how thick it must be depends on its length, which is not known."
        yield f"Longest at {ignition_amps(facts)}, one way: {_longest(facts)}."
        return
    least = least_area_mm2(length.value, amps, facts.limits)
    if least is None:
        yield (
            f"Cable: no listed size is thick enough for {written_length(length.value)} at "
            f"{ignition_amps(facts)}. The heater must come nearer to its battery."
        )
        return
    takes = _copper_v(facts, length.value, least)
    yield (
        f"Cable: copper of {area(least)} or more for {written_length(length.value)} at "
        f"{ignition_amps(facts)}. Its copper then loses up to {volts(takes)}, and may lose "
        f"{volts(facts.limits.copper_v)}."
    )
    craft = small_craft_area_mm2(length.value, amps, facts.nominal_v)
    if craft is not None and craft > least:
        yield f"{SMALL_CRAFT} allow 3 % to what must work: that takes {area(craft)}."
    yield _there(facts, least)


def _copper_v(facts: SupplyFacts, length_m: float, area_mm2: float) -> float:
    assert facts.ignition is not None
    laid = LaidCable(
        Measurement("length", length_m, 0.0, "m"), Measurement("area", area_mm2, 0.0, "mm2")
    )
    return copper_loss(laid, facts.ignition).value


def _longest(facts: SupplyFacts) -> str:
    assert facts.ignition is not None
    amps, limits = facts.ignition.value, facts.limits
    fused = [one for one in USUAL_AREAS_MM2 if fuse_range(one, amps, limits).takes_any]
    lengths = {one: longest_run_m(one, amps, limits) for one in fused}
    enough = [one for one in fused if lengths[one] >= FAR_M][:1]
    told = [one for one in fused if lengths[one] < FAR_M] + enough
    return ", ".join(f"{down(lengths[one])} m of {area(one)}" for one in told)


def _there(facts: SupplyFacts, least_mm2: float) -> str:
    """Say whether the cable that is there is thick enough."""
    there, verdict = facts.now.area, verdict_on_wiring(facts, facts.now)
    if there is None:
        return "How thick the one that is there is was not measured."
    said = f"The one that is there has {area(there.value)} {there.name}"
    if verdict is not None and verdict.blame == "not of this cable":
        return f"{said}, but what was lost does not fit that."
    return f"{said}: {'thick enough' if there.value >= least_mm2 else 'TOO THIN'}."


def _fuse(facts: SupplyFacts) -> Iterator[str]:
    assert facts.ignition is not None
    limits, amps = facts.limits, facts.ignition.value
    each = f"{limits.fuse_a_per_mm2:g} A for each mm2"
    yield f"Fuse: {up(limits.least_fuse * amps)} A or more, so that it carries a start."
    there, wanted = facts.now.area, _wanted_mm2(facts)
    if there is not None:
        most = _most_a(facts, there.value)
        yield f"With the {area(there.value)} that is there no more than {most} ({each})."
    if wanted is not None and (there is None or there.value < wanted):
        yield f"Once there is {area(wanted)}, no more than {_most_a(facts, wanted)}."
    elif there is None:
        yield f"No more than {each} of the cable's thinnest copper."
    yield "It protects the cable, and sits close to the battery."
    yield from _fuse_there(facts)
    yield "The one that the heater's manual names comes first, where the cable can carry it."


def _most_a(facts: SupplyFacts, area_mm2: float) -> str:
    assert facts.ignition is not None
    return f"{down(fuse_range(area_mm2, facts.ignition.value, facts.limits).most_a, 3)} A"


def _wanted_mm2(facts: SupplyFacts) -> float | None:
    """Return the area that the cable has to have, None where its length is not known."""
    length = facts.now.length
    assert facts.ignition is not None
    return least_area_mm2(length.value, facts.ignition.value, facts.limits) if length else None


def _fuse_there(facts: SupplyFacts) -> Iterator[str]:
    """Say of the fuse that is fitted whether it fits heater and cable."""
    assert facts.ignition is not None
    rating, there = facts.fuse_a, facts.now.area
    if facts.fuse_compared:
        how = "is TOO LARGE for" if facts.fuse_compared == TOO_LARGE else "is no larger than"
        yield f"The one that is in {how} what the cable can carry, as somebody compared them."
    if rating is None or there is None:
        return
    fits = fuse_range(there.value, facts.ignition.value, facts.limits)
    if rating > fits.most_a:
        yield f"The one that is fitted, {rating:g} A, is TOO LARGE for {area(there.value)}."
    elif rating < fits.least_a:
        yield f"The one that is fitted, {rating:g} A, is too small for a start."
    else:
        yield f"The one that is fitted, {rating:g} A, fits."


def _battery(facts: SupplyFacts) -> Iterator[str]:
    assert facts.ignition is not None
    limits, amps = facts.limits, facts.ignition.value
    if facts.heater_v is None:
        return
    wiring_ohm = limits.wiring_v / amps
    rest_v = rest_needed_v(facts.heater_v, amps, wiring_ohm, limits.battery_ohm)
    yield (
        f"Battery: {up(rest_v)} V or more at rest, and no more than "
        f"{milliohms(limits.battery_ohm)} of resistance inside. That is enough even where the "
        f"wiring loses the whole {volts(limits.wiring_v)} that it may."
    )
    if facts.in_brief:
        return
    yield from _charge(facts, rest_v)
    yield from _as_read(facts)
    yield "A cold battery has more resistance inside: what is enough by day may not be by night."


def _charge(facts: SupplyFacts, rest_v: float) -> Iterator[str]:
    """Say how full a battery is that reads so much at rest, where its kind is known."""
    if facts.kind not in (LEAD_ACID, LITHIUM) or facts.nominal_v not in LISTED_SYSTEMS_V:
        yield "How full that is depends on its kind."
        return
    if facts.kind == LITHIUM:
        yield "The volts at rest of a lithium battery tell little of how full it is."
        return
    band = charge_band(rest_v, "flooded", RESTED_H, facts.nominal_v)
    if isinstance(band, ChargeBand):
        yield (
            f"A lead-acid battery that reads so is {band.low_percent:g} to "
            f"{band.high_percent:g} % full, by tables that differ."
        )
    else:
        yield "No lead-acid battery reads so much: it and the wiring must have less resistance."


def _as_read(facts: SupplyFacts) -> Iterator[str]:
    """Say what is enough with the resistances that were read, and what was read at rest."""
    assert facts.ignition is not None
    assert facts.heater_v is not None
    wiring, loaded = loss_of(WIRING, losses(facts.now.read)), facts.battery
    battery = loss_of(BATTERY, losses(loaded.read)) if loaded else None
    rest = loaded.read.rest if loaded else None
    if not (battery and wiring and battery.ohm and wiring.ohm and rest):
        return
    enough_v = rest_needed_v(
        facts.heater_v, facts.ignition.value, wiring.ohm.value, battery.ohm.value
    )
    enough = "enough" if within(float(up(enough_v)), rest.value) else "NOT ENOUGH"
    yield (
        f"With what was read, {milliohms(battery.ohm.value)} inside and "
        f"{milliohms(wiring.ohm.value)} in the wiring, it needs {up(enough_v)} V at rest. It read "
        f"{volts(rest.value)}: {enough}."
    )


def how_to_check_again(material: JobMaterial, facts: SupplyFacts) -> Iterator[str]:
    """Yield how the supply is checked again, and what is wanted then."""
    asked = material.book.findings.get(AT_HEATER)
    if facts.heater_v is None or asked is None or asked.measure is None:
        return
    wait = ", once the danger is over" if facts.danger_holds else ""
    mark = USUAL_FOR_ITS_KIND if facts.class_value(CUT_OFF_DATUM) else ""
    again = (
        f"To check it again{wait}: {up(facts.heater_v)} V or more{mark} at the heater's supply "
        f"connector while it ignites, and no more than {volts(facts.limits.wiring_v)} below what "
        "the battery's terminals read in the same start."
    )
    how = "" if facts.in_brief else f" {asked.measure.where} {asked.measure.when}"
    yield again + how
