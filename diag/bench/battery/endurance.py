"""How long a battery carries the unit: starts, hours at each level, days of standby."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from diag.bench.amounts import LONGEST, read_amount
from diag.bench.battery.inputs import CAPACITY, GLOW_PLUG_TIME, RUNNING_AMPS, STANDBY_AMPS, USED
from diag.bench.battery.reach import DERATING, Reach, ignition_phases
from diag.bench.battery.state import Battery
from diag.bench.figures import DerivedFigure, Measurement, derive
from diag.bench.inputs import Input, measured
from diag.physics.errors import PhysicsError
from diag.physics.supply.charge import Chemistry, capacity_factor
from diag.physics.supply.endurance import (
    hours_carried,
    standby_days,
    starts_carried,
    usable_charge_ah,
)
from diag.physics.supply.ignition import ignition_charge_ah
from diag.physics.supply.verdict import SupplyTest

USUALLY_USED = {"LiFePO4": "80 %"}  # and half of a lead battery: common practice, no source
LEVELS = ("low", "mid", "high")


def endurance(answers: Mapping[str, str], test: SupplyTest, battery: Battery) -> Reach:
    """Return starts, hours and days that a full battery carries before it is used so far."""
    capacity = measured(CAPACITY, answers["capacity"])
    usual = USUALLY_USED.get(battery.chemistry or "", "50 %")
    percent = read_amount(USED.name, answers.get(USED.option, usual), "%")
    chemistry = battery.chemistry or "flooded"
    readings = (capacity, battery.temperature)

    def usable(ah: float, temperature_c: float) -> float:
        return usable_charge_ah(ah, percent, capacity_factor(chemistry, temperature_c))

    by_cold = capacity_factor(chemistry, battery.temperature.value)
    how = (
        f"{percent:g} % of {capacity.value:g} Ah x {by_cold:.2g} at {battery.temperature.value:g} C"
    )
    made = [derive("usable from full", "Ah", usable, readings, formula=how, source=DERATING)]
    charge = made[0].measurement(capacity.again)
    if GLOW_PLUG_TIME.option in answers:
        start_ah = ignition_charge_ah(ignition_phases(answers, test))
        how = f"usable / {start_ah:.2g} Ah a start"
        starts = derive(
            "starts",
            "1",
            lambda ah: ah / start_ah,
            (charge,),
            formula=how,
            source="charge / charge",
        )
        made.append(replace(starts, value=float(starts_carried(charge.value, start_ah))))
    made += [_hours(level, charge, amps) for level, amps in _running(answers)]
    if STANDBY_AMPS.option in answers:
        drain = measured(STANDBY_AMPS, answers[STANDBY_AMPS.option])
        made.append(_standby(chemistry, percent, (*readings, drain)))
    assumed = [] if "used" in answers else [f"{percent:g} % used"]
    return Reach(tuple(made), (), tuple(assumed))


def _standby(
    chemistry: Chemistry, percent: float, readings: tuple[Measurement, ...]
) -> DerivedFigure:
    """Return the days that capacity at its temperature lasts against a drain alone."""

    def days(ah: float, temperature_c: float, amps: float) -> float:
        return standby_days(ah * capacity_factor(chemistry, temperature_c), percent, amps)

    how = f"usable / {readings[-1].value:g} A, drain alone"
    return derive("days of standby", "d", days, readings, formula=how, source="charge / current")


def _hours(level: str, charge: Measurement, amps: Measurement) -> DerivedFigure:
    how = f"usable / {amps.value:g} A"
    return derive(
        f"hours at {level}",
        "h",
        hours_carried,
        (charge, amps),
        formula=how,
        source="charge / current",
    )


def _running(answers: Mapping[str, str]) -> tuple[tuple[str, Measurement], ...]:
    """Return low, mid and high, each with its running current in A."""
    if RUNNING_AMPS.option not in answers:
        return ()
    text = answers[RUNNING_AMPS.option]
    words = text.replace(" A", "A").split()
    if len(words) != len(LEVELS):
        raise PhysicsError(
            f"`running currents` is `{text.strip()[:LONGEST]}`: expected three, at low, mid and "
            "high, such as `0.9 1.5 3 A`"
        )
    wanted = [
        Input("running", f"current at {level}", "A", error="2 % + 0.1 A", most=100.0)
        for level in LEVELS
    ]
    amps = [measured(each, word) for each, word in zip(wanted, words, strict=True)]
    return tuple(zip(LEVELS, amps, strict=True))
