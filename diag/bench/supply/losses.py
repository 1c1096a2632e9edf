"""Where the volts of a start are lost, and whether the cable itself or a joint is to blame."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from diag.bench.cable.inputs import COPPER_TEMPERATURE, USUAL
from diag.bench.cable.split import SPLIT_SOURCE
from diag.bench.cable.sums import DROP_SOURCE
from diag.bench.figures import DerivedFigure, Measurement, derive, judge
from diag.bench.inputs import measured
from diag.bench.supply.known import LaidCable, ReadStart, WiringLimits, within
from diag.model.frozen import frozen
from diag.physics.supply.cable import circuit_resistance_ohm
from diag.physics.supply.conductor import Strand
from diag.physics.supply.split import BATTERY, METER_NOISE_V, NEGATIVE_CABLE, POSITIVE_CABLE

WIRING = "both cables with their joints"
Blame = Literal["nothing", "cable", "joints", "cable and joints", "not told", "not of this cable"]


@frozen
class PartLoss:
    """What a part of the supply loses: volts, and its resistance (ohm) where the amps were read."""

    part: str
    drop: DerivedFigure
    ohm: DerivedFigure | None


def losses(read: ReadStart) -> tuple[PartLoss, ...]:
    """Return what battery, wiring and each cable lose, as far as was read.

    Volts that rise along the way by more than a meter's noise tell no loss, and are left out.
    Source: Kirchhoff's voltage law, Ohm's law.
    """
    drops = (one for one in _drops(read) if one.value >= -METER_NOISE_V)
    return tuple(PartLoss(one.name, one, _resistance(one, read.amps)) for one in drops)


def rising(read: ReadStart) -> tuple[str, ...]:
    """Return the parts along which the volts seem to rise, which no supply does."""
    return tuple(one.name for one in _drops(read) if one.value < -METER_NOISE_V)


def _drops(read: ReadStart) -> Iterator[DerivedFigure]:
    if read.rest and read.terminals:
        yield _between(BATTERY, read.rest, read.terminals)
    if read.terminals and read.heater:
        yield _between(WIRING, read.terminals, read.heater)
    elif read.positive and read.negative:
        both = (read.positive, read.negative)
        how = " + ".join(f"{one.value:g} V" for one in both)
        yield derive(WIRING, "V", lambda a, b: a + b, both, formula=how, source=SPLIT_SOURCE)
    for part, one in ((POSITIVE_CABLE, read.positive), (NEGATIVE_CABLE, read.negative)):
        if one:
            yield derive(part, "V", float, (one,), formula="as read", source="the meter")


def _between(part: str, first: Measurement, last: Measurement) -> DerivedFigure:
    how = f"{first.value:g} V - {last.value:g} V"
    return derive(part, "V", lambda a, b: a - b, (first, last), formula=how, source=SPLIT_SOURCE)


def _resistance(drop: DerivedFigure, amps: Measurement | None) -> DerivedFigure | None:
    if amps is None or amps.value <= 0:
        return None
    how = f"{drop.value:.2f} V / {amps.value:g} A"
    readings = (drop.measurement(), amps)
    return derive(
        drop.name, "ohm", lambda v, a: v / a, readings, formula=how, source="Ohm's law"
    )  # fmt: skip


def loss_of(part: str, several: tuple[PartLoss, ...]) -> PartLoss | None:
    """Return the loss of a part, None where it was not read."""
    return next((one for one in several if one.part == part), None)


def copper_loss(cable: LaidCable, amps: Measurement, strand: Strand = "class 5") -> DerivedFigure:
    """Return what the copper of a cable by itself loses at a current (V), there and back.

    Class 5 is the most that a cable of fine strands may have by IEC 60228:2004 Table 3; `solid`
    is copper without strands, the least that any cable has. Raises `PhysicsError` for an area that
    no table holds.
    """
    warm = measured(COPPER_TEMPERATURE, USUAL["copper-temperature"])
    there_and_back = f"{2 * cable.length.value:g} m of {cable.area.value:g} mm2"

    def lost(a: float, length: float, area: float, temperature: float) -> float:
        return a * circuit_resistance_ohm(length, area, temperature, strand)

    return derive(
        "copper by itself", "V", lost, (amps, cable.length, cable.area, warm),
        formula=f"{there_and_back} at {amps.value:g} A, {strand}", source=DROP_SOURCE,
    )  # fmt: skip


def blamed(
    drop: DerivedFigure,
    copper: DerivedFigure,
    least_copper: DerivedFigure | None,
    limits: WiringLimits,
    copper_when_igniting_v: float,
) -> Blame:
    """Tell what a loss in the wiring comes from: what was lost against what copper loses.

    `copper` and `least_copper` are the copper's own loss at the current of the reading, at most
    and at least; `copper_when_igniting_v` at the ignition current. The joints may lose what the
    wiring may lose beyond its copper. Less than the least means that the cable is another one;
    there is no least where the current was not read.
    """
    if least_copper and judge(_apart(least_copper, drop)) == "clear yes":
        return "not of this cable"
    if within(drop.value, limits.wiring_v):
        return "nothing"
    thin = not within(copper_when_igniting_v, limits.copper_v)
    spare = Measurement("joints", limits.wiring_v - limits.copper_v, 0.0, "V")
    joints = judge(_apart(drop, copper, spare))
    if joints == "clear yes":
        return "cable and joints" if thin else "joints"
    return "cable" if thin else "not told"


def _apart(more: DerivedFigure, less: DerivedFigure, *also: Measurement) -> DerivedFigure:
    """Return by how much one loss exceeds the others (V)."""
    readings = (more.measurement(), less.measurement(), *also)
    return derive("excess", "V", lambda a, *others: a - sum(others), readings)
