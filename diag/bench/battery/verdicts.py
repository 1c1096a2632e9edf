"""What a load test says of the supply in one sentence, and of the loads that it was made with."""

from __future__ import annotations

from diag.bench.thresholds import Thresholds, threshold_value
from diag.model.frozen import frozen
from diag.model.quantity import quantity
from diag.physics.supply.verdict import SupplyOutlook, SupplyTest

ADVICE = {
    "volts at rest": "take `volts at rest` again, rested, with a finer meter or range",
    "volts under load": "take `volts under load` again, settled, with a finer meter or range",
    "load current": "take `load current` again with the clamp zeroed, or with a better one",
}


@frozen
class SupplyLimits:
    """The limits of the trade for a supply: the reserve above the cut-off in V."""

    reserve_v: float


def supply_limits(thresholds: Thresholds, nominal_v: float) -> SupplyLimits:
    """Return the limits for a system of this voltage; raises `ValueError` if one is missing."""
    data = {"nominal voltage": quantity(nominal_v, "V")}
    return SupplyLimits(threshold_value(thresholds, "reserve above the cut-off", "V", data))


def place(outlook: SupplyOutlook) -> str:
    """Return where the margin is taken: the connector where the cable is known, else terminals."""
    return "terminals" if outlook.appliance_v is None else "connector"


def supply_sentence(test: SupplyTest, outlook: SupplyOutlook, limits: SupplyLimits) -> str:
    """Return the verdict in one sentence, with its numbers and what to do about it."""
    where, margin = place(outlook), outlook.margin_v
    size = f"{abs(margin.value):.2f} V +- {margin.error:.2f}"
    if outlook.verdict == "cannot tell":
        side = "above" if margin.value >= 0 else "below"
        return (
            f"cannot tell: the {where} would be {size} {side} the cut-off, inside the meters' "
            f"error; {_advice(test, outlook)}"
        )
    worst = _worst(test, outlook)
    if outlook.verdict == "sags":
        return f"sags: the {where} would fall {size} below the cut-off, mostly {worst}"
    if outlook.verdict == "borderline":
        return (
            f"borderline: the {where} would keep {size} above the cut-off, {limits.reserve_v:g} V "
            f"is wanted; most of the drop is {worst}"
        )
    return f"holds: the {where} would keep {size} above the cut-off"


def _worst(test: SupplyTest, outlook: SupplyOutlook) -> str:
    if outlook.appliance_v is None or (test.circuit_ohm or 0.0) < outlook.resistance_ohm.value:
        return "in the battery and its clamps"
    return "in the cables and joints"


def _advice(test: SupplyTest, outlook: SupplyOutlook) -> str:
    if not outlook.shares:
        return ""
    name = outlook.shares[0][0]
    alike = "volts under load" if name.startswith("volts") else "load current"
    advice = ADVICE.get(name) or ADVICE[alike].replace(alike, name)
    if not test.more and test.load_a.value < test.ignition_a / 2:
        advice += f", or load with nearer to {test.ignition_a:g} A"
    return advice


def line_notes(test: SupplyTest, outlook: SupplyOutlook) -> list[str]:
    """Say when the loads stand too close, badly for the ignition, or off their own line."""
    notes, ohm = [], outlook.resistance_ohm
    if ohm.value <= ohm.error:
        notes.append(
            f"battery resistance: cannot tell, {ohm.value * 1e3:.1f} mohm is inside its error of "
            f"{ohm.error * 1e3:.1f}; take loads further apart, or a finer meter"
        )
    if not test.more:
        return notes
    loads = sorted([test.load_a.value, *(load.amps.value for load in test.more)])
    if not loads[0] <= test.ignition_a <= loads[-1]:
        notes.append(
            f"take loads on both sides of the ignition current, {test.ignition_a:g} A: a battery's "
            f"line is curved, and these stand at {loads[0]:g} to {loads[-1]:g} A"
        )
    if outlook.line.misfit_v > test.load_v.error:
        notes.append(
            f"the loads lie {outlook.line.misfit_v:.2f} V off one line, more than the meter's "
            f"error of {test.load_v.error:.2f} V: take them again, settled"
        )
    return notes
