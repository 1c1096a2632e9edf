"""How long a battery carries the unit: starts, hours at each level, days of standby."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from diag.cli.bench.amounts import LONGEST, read_amount
from diag.cli.bench.battery_reach import DERATING, Reach, ignition_phases
from diag.cli.bench.battery_state import CAPACITY, Battery
from diag.cli.bench.readings import Figure, Reading, Wanted, figure, read
from diag.physics.charge import capacity_factor
from diag.physics.endurance import hours_carried, standby_days, starts_carried, usable_charge_ah
from diag.physics.errors import PhysicsError
from diag.physics.ignition import ignition_charge_ah
from diag.physics.supply_verdict import SupplyTest

USED = {"LiFePO4": "80 %"}  # and half of a lead battery: common practice, no source
LEVELS = ("low", "mid", "high")
STANDBY = Wanted("standby", "standby current", "A", error="2 %", again="in series", most=100.0)


def endurance(answers: Mapping[str, str], test: SupplyTest, battery: Battery) -> Reach:
    """Return starts, hours and days that a full battery carries before it is used so far."""
    capacity = read(CAPACITY, answers["capacity"])
    usual = USED.get(battery.chemistry or "", "50 %")
    percent = read_amount("share of the capacity used", answers.get("used", usual), "%")
    chemistry = battery.chemistry or "flooded"
    readings = (capacity, battery.temperature)

    def usable(ah: float, temperature_c: float) -> float:
        return usable_charge_ah(ah, percent, capacity_factor(chemistry, temperature_c))

    by_cold = capacity_factor(chemistry, battery.temperature.value)
    how = (
        f"{percent:g} % of {capacity.value:g} Ah x {by_cold:.2g} at {battery.temperature.value:g} C"
    )
    made = [figure("usable from full", "Ah", usable, readings, how, DERATING)]
    charge = made[0].reading(capacity.again)
    if "plug-time" in answers:
        start_ah = ignition_charge_ah(ignition_phases(answers, test))
        how = f"usable / {start_ah:.2g} Ah a start"
        starts = figure("starts", "1", lambda ah: ah / start_ah, (charge,), how, "charge / charge")
        made.append(replace(starts, value=float(starts_carried(charge.value, start_ah))))
    made += [_hours(level, charge, amps) for level, amps in _running(answers)]
    if "standby" in answers:
        drain = read(STANDBY, answers["standby"])

        def days(ah: float, temperature_c: float, amps: float) -> float:
            return standby_days(ah * capacity_factor(chemistry, temperature_c), percent, amps)

        how = f"usable / {drain.value:g} A, drain alone"
        parts = (*readings, drain)
        made.append(figure("days of standby", "d", days, parts, how, "charge / current"))
    assumed = [] if "used" in answers else [f"{percent:g} % used"]
    return Reach(tuple(made), (), tuple(assumed))


def _hours(level: str, charge: Reading, amps: Reading) -> Figure:
    how = f"usable / {amps.value:g} A"
    return figure(f"hours at {level}", "h", hours_carried, (charge, amps), how, "charge / current")


def _running(answers: Mapping[str, str]) -> tuple[tuple[str, Reading], ...]:
    """Return low, mid and high, each with its running current in A."""
    if "running" not in answers:
        return ()
    text = answers["running"]
    words = text.replace(" A", "A").split()
    if len(words) != len(LEVELS):
        raise PhysicsError(
            f"`running currents` is `{text.strip()[:LONGEST]}`: expected three, at low, mid and "
            "high, such as `0.9 1.5 3 A`"
        )
    wanted = [
        Wanted("running", f"current at {level}", "A", error="2 % + 0.1 A", most=100.0)
        for level in LEVELS
    ]
    amps = [read(each, word) for each, word in zip(wanted, words, strict=True)]
    return tuple(zip(LEVELS, amps, strict=True))
