"""`diag heat`: fuel in, heat out, and whether the two can be true together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import cast

from diag.cli.bench.amounts import LONGEST, read_amount
from diag.cli.bench.bench_screen import Told, show
from diag.cli.bench.heat_wanted import (
    AIR,
    ALTITUDE,
    AS_SOLD,
    CAPACITY,
    CLAIM,
    FUEL,
    FUEL_C,
    FUEL_COUNTED,
    PLACES,
    PRESSURE,
    PROFILE,
    RUNNING,
    TANK,
    TRAVERSED,
    USED,
    dose_wanted,
)
from diag.cli.bench.readings import Ask, Figure, Group, Reading, asker, figure, mended, read, settle
from diag.cli.guard import WrongUse
from diag.physics.air import air_heat_kw, mean_to_centre_ratio
from diag.physics.atmosphere import pressure_at_altitude_pa
from diag.physics.endurance import hours_carried, usable_charge_ah
from diag.physics.errors import one_of
from diag.physics.fuel import (
    FUELS,
    FuelName,
    fuel_l_per_h,
    hours_per_tank,
    pulse_rate_hz,
    pump_power_kw,
)
from diag.physics.heat_balance import efficiency_percent, electricity_per_kwh
from diag.physics.heat_slip import DoseKind, HeatReadings, SpeedKind
from diag.physics.traverse import traverse_mean_m_s

CAUTIONS = (
    "outlet and exhaust burn; fuel and its vapour burn too: catch the dose cold, no flame near. "
    "A unit burning indoors can kill by carbon monoxide: exhaust led outside, alarm on.",
)
FUEL_SOURCE = "IPCC 2006 vol. 2 ch. 1 Table 1.2; EN 590 density; ASTM D1250"
AIR_SOURCE = "m cp dT, ideal gas and pressure of ISO 2533"
PROFILE_SOURCE = f"{AIR_SOURCE}; power law profile of Prandtl and Nikuradse, n = 7"
TRAVERSE_SOURCE = f"{AIR_SOURCE}; traverse by ISO 3966"


@dataclass(frozen=True, slots=True)
class Side:
    """One side of the balance in kW: its readings, how they make it, and its figures."""

    readings: tuple[Reading, ...]
    compute: Callable[..., float]
    figures: tuple[Figure, ...]


def run_heat(
    answers: Mapping[str, str],
    as_json: bool = False,
    dose_from_memory: bool = False,
    ask: Ask | None = None,
) -> int:
    """Weigh heat out against fuel in and print it; return 0, whatever the verdict.

    `answers` holds the options that were given, as typed. Missing readings are asked for at a
    terminal, through `ask` if that is given. Raises `ValueError` for a value that cannot be,
    and `WrongUse` when readings are missing and nobody can be asked.
    """
    for one, other in (("rate", "pulses"), ("speed", "traverse"), ("speed", "heat")):
        if one in answers and other in answers:
            raise WrongUse(f"give `--{one}` or `--{other}`, not both: I cannot tell which to take")
    fuel_group = FUEL_COUNTED if {"pulses", "seconds"} & set(answers) else FUEL
    air_group = AIR
    if "heat" in answers:
        air_group = Group(AIR.says, (CLAIM,))
    elif "traverse" in answers:
        air_group = TRAVERSED
    ask, groups = asker(as_json, ask), (fuel_group, air_group)
    full, complete, notes = settle(groups, answers, ask, CAUTIONS)

    def tell(now: Mapping[str, str]) -> Told:
        fuel = fuel_side(now, dose_from_memory) if fuel_group in complete else None
        air = air_side(now) if air_group in complete else None
        return heat_told(now, fuel, air, notes, dose_from_memory)

    show(mended(tell, full, groups, ask), as_json)
    return 0


def fuel_name(answers: Mapping[str, str]) -> FuelName:
    """Return the fuel that burns, diesel when nothing else was said."""
    text = answers.get("fuel", "diesel").strip()[:LONGEST]
    one_of("fuel", text, FUELS)
    return cast(FuelName, text)


def speed_kind(answers: Mapping[str, str]) -> SpeedKind:
    """Return where the air speed was taken, the centre when nothing else was said."""
    if "traverse" in answers:
        return "traverse"
    text = answers.get("at", "centre").strip()[:LONGEST]
    one_of("at", text, ("centre", "mean"))
    return cast(SpeedKind, text)


def fuel_side(answers: Mapping[str, str], from_memory: bool) -> Side:
    """Return the fuel's side: rate, dose, fuel and temperature to kW."""
    name = fuel_name(answers)
    if "pulses" in answers:
        counted = [read(each, answers[each.option]) for each in FUEL_COUNTED.wanted[:2]]
        how = f"{counted[0].value:g} pulses in {counted[1].value:g} s"
        made = figure("pulse rate", "Hz", pulse_rate_hz, counted, how, "arithmetic")
        made_of: tuple[Figure, ...] = (made,)
        rate = made.reading("count for a whole minute")
    else:
        rate, made_of = read(FUEL.wanted[0], answers["rate"]), ()
    dose = read(dose_wanted(from_memory), answers["dose"])
    warm = read(FUEL_C, answers.get("fuel-temperature", "15 C"))
    as_sold = read(AS_SOLD, "1")

    def power_kw(rate_hz: float, ml_per_100: float, fuel_c: float, quality: float) -> float:
        return pump_power_kw(rate_hz, ml_per_100 / 100, name, fuel_c) * quality

    readings = (rate, dose, warm, as_sold)
    by = f"{rate.value:.3g} pulses/s of {dose.value / 100:.3g} ml"
    flow = figure(
        "fuel flow", "l/h", lambda r, d: fuel_l_per_h(r, d / 100), (rate, dose), by, "arithmetic"
    )
    density = FUELS[name].density_15c
    oil = f"{name}, {FUELS[name].net_heat_mj_per_kg:g} MJ/kg, {density:g} kg/m3 at 15 C"
    power = figure("fuel power", "kW", power_kw, readings, oil, FUEL_SOURCE)
    return Side(readings, power_kw, (*made_of, flow, power))


def air_side(answers: Mapping[str, str]) -> Side:
    """Return the air's side: speed, bore and temperatures to kW, or a claimed heat as it is."""
    if "heat" in answers:
        claim = read(CLAIM, answers["heat"])
        return Side((claim,), lambda kw: kw, ())
    kind = speed_kind(answers)
    bore, inlet, outlet = (read(each, answers[each.option]) for each in AIR.wanted[1:])
    high = read(ALTITUDE, answers.get("altitude", "0 m"))
    weather = read(PRESSURE, answers.get("pressure", "1013.25 hPa"))
    profile = read(PROFILE, "7 +- 1" if kind == "centre" else "7 +- 0 %")
    speed = _traversed(answers) if kind == "traverse" else read(AIR.wanted[0], answers["speed"])

    def mean_m_s(measured: float, n: float) -> float:
        return measured * mean_to_centre_ratio(n) if kind == "centre" else measured

    def heat_kw(v: float, n: float, d: float, t0: float, t1: float, h: float, p: float) -> float:
        return air_heat_kw(mean_m_s(v, n), d, t0, t1, pressure_at_altitude_pa(h, p * 100))

    readings = (speed, profile, bore, inlet, outlet, high, weather)
    source = {"centre": PROFILE_SOURCE, "mean": AIR_SOURCE, "traverse": TRAVERSE_SOURCE}[kind]
    mean = figure("mean air speed", "m/s", mean_m_s, (speed, profile), PLACES[kind], source)
    how = f"{bore.value:g} mm bore, {inlet.value:g} C to {outlet.value:g} C"
    if high.value:
        how += f", {high.value:g} m up"
    heat = figure("heat out", "kW", heat_kw, readings, how, source)
    return Side(readings, heat_kw, (mean, heat))


def _traversed(answers: Mapping[str, str]) -> Reading:
    """Return a traverse's mean speed; three or four points to the radius, by their number."""
    text, mark, error = answers["traverse"].replace("±", "+-").partition("+-")
    one = AIR.wanted[0]
    speeds = [read_amount("traverse", each, "m/s") for each in text.replace(";", " ").split()]
    per_radius = 4 if len(speeds) % 8 == 0 and len(speeds) % 6 and speeds else 3
    mean = traverse_mean_m_s(speeds, per_radius)
    return read(one, f"{mean:.12f} m/s{f' +- {error}' if mark else ''}")


def readings_of(
    answers: Mapping[str, str], fuel: Side, air: Side, from_memory: bool
) -> HeatReadings | None:
    """Return the readings from which a slip can be named; a bare claim has none."""
    if "heat" in answers:
        return None
    speed, _, bore, inlet, outlet, high, weather = (each.value for each in air.readings)
    rate, dose, warm, _ = (each.value for each in fuel.readings)
    kind: DoseKind = "memory" if from_memory else "measured"
    return HeatReadings(
        speed, speed_kind(answers), bore, inlet, outlet, rate, dose / 100, kind,
        fuel_name(answers), warm, pressure_at_altitude_pa(high, weather * 100),
    )  # fmt: skip


def heat_told(
    answers: Mapping[str, str],
    fuel: Side | None,
    air: Side | None,
    notes: tuple[str, ...],
    from_memory: bool,
) -> Told:
    """Return all that the answers tell about the heat balance."""
    from diag.cli.bench.heat_verdict import Balance, verdicts

    figures = [*(fuel.figures if fuel else ()), *(air.figures if air else ())]
    readings = [*(fuel.readings if fuel else ()), *(air.readings if air else ())]
    balance = None
    if fuel and air:
        figures.append(_efficiency(fuel, air))
        slipped = readings_of(answers, fuel, air, from_memory)
        balance = Balance(figures[-1], tuple(readings), fuel, air, slipped, fuel_name(answers))
    extra, more = _use(answers, fuel, air)
    figures += extra
    assumed = []
    if air and "heat" not in answers:
        usual = {"altitude": "sea level", "pressure": "1013 hPa", "at": "speed read at the centre"}
        skip = {"at"} if "traverse" in answers else set()
        assumed = [usual[each] for each in usual if each not in answers and each not in skip]
    if fuel:
        usual = {"fuel": "diesel", "fuel-temperature": "fuel at 15 C"}
        assumed += [says for option, says in usual.items() if option not in answers]
    if "amps" in answers and air and "supply" not in answers:
        assumed.append("12.5 V")
    if "amps" in answers and CAPACITY.option in answers and USED.option not in answers:
        assumed.append("half the battery used")
    said, lacking = verdicts(answers, balance, fuel, air)
    return Told(readings, figures, said, assumed, (*notes, *lacking, *more), CAUTIONS)


def _efficiency(fuel: Side, air: Side) -> Figure:
    cut = len(air.readings)

    def percent(*values: float) -> float:
        return efficiency_percent(air.compute(*values[:cut]), fuel.compute(*values[cut:]))

    readings = (*air.readings, *fuel.readings)
    return figure("efficiency", "%", percent, readings, "heat out / fuel power", "energy balance")


def _use(
    answers: Mapping[str, str], fuel: Side | None, air: Side | None
) -> tuple[list[Figure], list[str]]:
    """Return what the run takes of battery and tank, and what more could be said."""
    figures, notes = [], []
    if fuel and TANK.option in answers:
        tank, rate, dose = read(TANK, answers["tank"]), *fuel.readings[:2]
        figures.append(
            figure(
                "hours on a tank", "h",
                lambda litres, r, d: hours_per_tank(litres, fuel_l_per_h(r, d / 100)),
                (tank, rate, dose), f"{tank.value:g} l over the fuel flow", "arithmetic",
            )
        )  # fmt: skip
    elif fuel:
        notes.append("with `--tank` as well I could also say the hours on a tank")
    if "amps" not in answers:
        return figures, [*notes, "with `--amps` as well I could also say what it takes of current"]
    volts = read(RUNNING[0], answers.get("supply", "12.5 V"))
    amps = read(RUNNING[1], answers["amps"])
    if air:
        figures.append(
            figure(
                "electricity per kWh", "Wh",
                lambda v, a, *rest: electricity_per_kwh(v, a, air.compute(*rest)),
                (volts, amps, *air.readings), f"{volts.value:g} V x {amps.value:g} A / heat out",
                "power over power",
            )
        )  # fmt: skip
    if CAPACITY.option in answers:
        figures.append(_battery_hours(answers, amps))
    return figures, notes


def _battery_hours(answers: Mapping[str, str], amps: Reading) -> Figure:
    capacity = read(CAPACITY, answers["battery"])
    used = read(USED, answers.get("used", "50 %"))
    how = f"{used.value:g} % of {capacity.value:g} Ah over {amps.value:g} A"
    return figure(
        "hours on a battery", "h",
        lambda ah, percent, a: hours_carried(usable_charge_ah(ah, percent), a),
        (capacity, used, amps), how, "charge over current; half is common practice",
    )  # fmt: skip
