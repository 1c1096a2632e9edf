"""What `diag battery` says of the battery itself: its kind, its charge, its half-crank test."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from diag.bench.battery.inputs import COLD_CRANK, TEMPERATURE, chemistry_of, hours_of
from diag.bench.figures import (
    DerivedFigure,
    Judgement,
    Measurement,
    derive,
    improve,
    judge,
    weakest,
)
from diag.bench.inputs import measured
from diag.bench.report import to_learn
from diag.model.frozen import frozen
from diag.physics.errors import above, celsius
from diag.physics.supply.battery import half_crank_minimum_v, half_crank_test
from diag.physics.supply.charge import ChargeBand, Chemistry, NoChargeBand, charge_band
from diag.physics.supply.frost import freezing_point_c, may_be_frozen
from diag.physics.supply.verdict import Measured, SupplyTest

WARM_C = 25.0
BLOCK_V = 16.0  # no rested 12 V battery stands above this
CHARGE_SOURCE = "memory of rest tables, with the spread between them"
CRANK_SOURCE = "memory of the load test: half the cold-crank current (SAE rating) for 15 s"


@frozen
class Battery:
    """What is known of the battery: kind, temperature, charge as a band or why not, system V."""

    chemistry: Chemistry | None
    temperature: Measurement
    charge: ChargeBand | NoChargeBand | None
    rested_h: float | None
    nominal_v: float

    @property
    def charge_reading(self) -> Measurement | None:
        """Return the band as a reading, its middle and half its width, if there is a band."""
        if not isinstance(self.charge, ChargeBand):
            return None
        low, high = self.charge.low_percent, self.charge.high_percent
        again = "rested for longer, or from a counted charge"
        return Measurement("charge", (low + high) / 2, (high - low) / 2, "%", again=again)


def battery_of(answers: Mapping[str, str], test: SupplyTest) -> Battery:
    """Return what the typed answers say of the battery; raise `ValueError` for what cannot be."""
    nominal_v = 12.0 * min(4, max(1, ceil(test.rest_v.value / BLOCK_V)))
    chemistry = chemistry_of(answers["chemistry"]) if "chemistry" in answers else None
    temperature = measured(TEMPERATURE, answers.get(TEMPERATURE.option, f"{WARM_C:g} C"))
    celsius(TEMPERATURE.name, temperature.value, least=-30.0, most=60.0)
    rested_h = hours_of(answers["rested"]) if "rested" in answers else None
    charge = None
    if chemistry is not None and rested_h is not None:
        charge = _band(test.rest_v, chemistry, rested_h, nominal_v)
    return Battery(chemistry, temperature, charge, rested_h, nominal_v)


def _band(
    rest: Measured, chemistry: Chemistry, rested_h: float, nominal_v: float
) -> ChargeBand | NoChargeBand:
    """Widen the band of charge by the voltmeter's error; no band if either edge has none."""
    at = charge_band(rest.value, chemistry, rested_h, nominal_v)
    low = charge_band(max(0.0, rest.value - rest.error), chemistry, rested_h, nominal_v)
    high = charge_band(rest.value + rest.error, chemistry, rested_h, nominal_v)
    if isinstance(at, NoChargeBand):
        return at
    if isinstance(low, NoChargeBand) or isinstance(high, NoChargeBand):
        flat = low if isinstance(low, NoChargeBand) else high
        assert isinstance(flat, NoChargeBand)
        return NoChargeBand(
            f"{rest.value:g} V is within the meter's {rest.error:.2f} V of where it cannot be "
            f"told ({flat.reason})"
        )
    return ChargeBand(low.low_percent, high.high_percent)


def charge_line(battery: Battery, test: SupplyTest) -> tuple[str, str] | None:
    """Return the charge as its value and how it is known, or nothing when it was not asked."""
    if battery.charge is None or battery.rested_h is None:
        return None
    if isinstance(battery.charge, NoChargeBand):
        return "cannot tell", battery.charge.reason
    low, high = battery.charge.low_percent, battery.charge.high_percent
    how = f"{battery.chemistry}, {test.rest_v.value:g} V after {battery.rested_h:g} h, band"
    return f"{low:g} to {high:g} %", how


def frost(battery: Battery) -> Judgement | None:
    """Say whether there may be ice in it, at the least charge that its rest volts allow."""
    kind, at_c = battery.chemistry, battery.temperature.value
    if kind is None or not isinstance(battery.charge, ChargeBand):
        return None
    low, high = battery.charge.low_percent, battery.charge.high_percent
    if not may_be_frozen(kind, at_c, low):
        return None
    says = (
        f"it may be frozen: at {low:g} to {high:g} % charge its acid freezes between "
        f"{freezing_point_c(low):.0f} and {freezing_point_c(high):.0f} C, and it is at {at_c:g} C; "
        "do not charge, load or start from it, thaw it slowly at room temperature and look for "
        "cracks"
    )
    return Judgement("frost", "may be frozen", says, "charge")


def half_crank(
    answers: Mapping[str, str], test: SupplyTest, battery: Battery
) -> tuple[DerivedFigure | None, Judgement | None, str]:
    """Judge the load nearest to half the cold-crank current: a figure, a verdict, or why not."""
    rating_a = measured(COLD_CRANK, answers["cold-crank"]).value
    above(COLD_CRANK.name, rating_a, "A", most=2000.0, floor=49.9)
    half_a = rating_a / 2
    if battery.nominal_v != 12.0 or battery.chemistry == "LiFePO4":
        only = "12 V lead battery" if battery.nominal_v == 12.0 else "single 12 V battery"
        return None, None, f"the half-cold-crank table holds for a {only} only: none judged here"
    if battery.temperature.value < -18.0:
        return None, None, "the half-cold-crank table ends at -18 C: warm the battery up first"
    loads = [(test.load_a, test.load_v), *((load.amps, load.volts) for load in test.more)]
    amps, volts = min(loads, key=lambda load: abs(load[0].value - half_a))
    if not 0.9 * half_a <= amps.value <= 1.1 * half_a:
        load = f"a load of {half_a:g} A (half of {rating_a:g} A) held for 15 s"
        why = to_learn(load, "if it passes the load test")
        return None, None, why
    half_crank_test(volts.value, amps.value, rating_a, battery.temperature.value)
    return _crank_verdict(amps, volts, battery)


def _crank_verdict(
    amps: Measured, volts: Measured, battery: Battery
) -> tuple[DerivedFigure, Judgement, str]:
    again = "at 15 s, with a finer meter or range"
    readings = (Measurement("volts at half crank", volts.value, volts.error, "V", again=again),
                battery.temperature)  # fmt: skip
    least_v = half_crank_minimum_v(battery.temperature.value)
    at = f"{battery.temperature.value:g} C"
    how = f"{volts.value:g} V at {amps.value:g} A, 15 s, over {least_v:.2f} V at {at}"
    margin = derive(
        "half-crank margin", "V", lambda v, c: v - half_crank_minimum_v(c), readings, formula=how,
        source=CRANK_SOURCE,
    )  # fmt: skip
    said = judge(margin)
    size = f"{abs(margin.value):.2f} V +- {margin.error:.2f}"
    sentences = {
        "clear yes": f"load test passed: {size} above the {least_v:.2f} V allowed at {at}",
        "clear no": f"load test failed: {size} below the {least_v:.2f} V allowed at {at}; charge "
        "the battery and test again before blaming it",
        "cannot tell": f"load test: cannot tell, the margin {margin.value:.2f} V is inside its "
        f"error, {margin.error:.2f} V; {improve(margin, readings)}",
    }
    return margin, Judgement("half-crank test", said, sentences[said], weakest(margin)), ""
