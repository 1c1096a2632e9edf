"""The two sides of a heat balance, and what a run takes of tank and battery."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import cast

from diag.bench.amounts import LONGEST, read_amount
from diag.bench.figures import DerivedFigure, Measurement, derive
from diag.bench.heat.inputs import (
    AIR,
    ALTITUDE,
    ANEMOMETER,
    AS_SOLD,
    CAPACITY,
    CLAIMED_HEAT,
    DOSE_FROM_MEMORY,
    FUEL_COUNTED,
    FUEL_TEMPERATURE,
    PLACES,
    PRESSURE,
    PROFILE,
    RATE,
    RUNNING_AMPS,
    SPEED,
    SUPPLY,
    TANK,
    USED,
    dose_input,
)
from diag.bench.inputs import measured
from diag.bench.report import to_learn
from diag.model.frozen import frozen
from diag.physics.combustion.fuel import (
    FUELS,
    FuelName,
    fuel_l_per_h,
    gross_percent,
    hours_per_tank,
    pulse_rate_hz,
    pump_power_kw,
)
from diag.physics.errors import one_of
from diag.physics.heat.air import air_heat_kw, mean_to_centre_ratio
from diag.physics.heat.atmosphere import pressure_at_altitude_pa
from diag.physics.heat.balance import efficiency_percent, electricity_per_kwh
from diag.physics.heat.slip import DoseKind, HeatReadings, SpeedKind
from diag.physics.heat.traverse import traverse_mean_m_s, true_speed_m_s
from diag.physics.supply.endurance import hours_carried, usable_charge_ah

FUEL_SOURCE = "IPCC 2006 vol. 2 ch. 1 Table 1.2; EN 590 density; ASTM D1250"
AIR_SOURCE = "m cp dT, ideal gas and pressure of ISO 2533"
PROFILE_SOURCE = f"{AIR_SOURCE}; power law profile of Prandtl and Nikuradse, n = 7"
TRAVERSE_SOURCE = f"{AIR_SOURCE}; traverse by ISO 3966"


@frozen
class Side:
    """One side of the balance in kW: its readings, how they make it, and its figures."""

    readings: tuple[Measurement, ...]
    compute: Callable[..., float]
    figures: tuple[DerivedFigure, ...]


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


def _from_memory(answers: Mapping[str, str]) -> bool:
    return DOSE_FROM_MEMORY.option in answers


def fuel_side(answers: Mapping[str, str]) -> Side:
    """Return the fuel's side: rate, dose, fuel and temperature to kW."""
    name = fuel_name(answers)
    if "pulses" in answers:
        counted = [measured(each, answers[each.option]) for each in FUEL_COUNTED.inputs[:2]]
        how = f"{counted[0].value:g} pulses in {counted[1].value:g} s"
        made = derive("pulse rate", "Hz", pulse_rate_hz, counted, formula=how, source="arithmetic")
        made_of: tuple[DerivedFigure, ...] = (made,)
        rate = made.measurement("count for a whole minute")
    else:
        rate, made_of = measured(RATE, answers["rate"]), ()
    dose = measured(dose_input(_from_memory(answers)), answers["dose"])
    warm = measured(FUEL_TEMPERATURE, answers.get("fuel-temperature", "15 C"))
    as_sold = measured(AS_SOLD, "1")

    def power_kw(rate_hz: float, ml_per_100: float, fuel_c: float, quality: float) -> float:
        return pump_power_kw(rate_hz, ml_per_100 / 100, name, fuel_c) * quality

    readings = (rate, dose, warm, as_sold)
    by = f"{rate.value:.3g} pulses/s of {dose.value / 100:.3g} ml"
    flow = derive(
        "fuel flow",
        "l/h",
        lambda r, d: fuel_l_per_h(r, d / 100),
        (rate, dose),
        formula=by,
        source="arithmetic",
    )
    density = FUELS[name].density_15c
    oil = f"{name}, {FUELS[name].net_heat_mj_per_kg:g} MJ/kg net, {density:g} kg/m3 at 15 C"
    power = derive("fuel power", "kW", power_kw, readings, formula=oil, source=FUEL_SOURCE)
    return Side(readings, power_kw, (*made_of, flow, power))


def air_side(answers: Mapping[str, str]) -> Side:
    """Return the air's side: speed, bore and temperatures to kW, or a claimed heat as it is."""
    if CLAIMED_HEAT.option in answers:
        claim = measured(CLAIMED_HEAT, answers[CLAIMED_HEAT.option])
        return Side((claim,), lambda kw: kw, ())
    kind = speed_kind(answers)
    bore, inlet, outlet = (measured(each, answers[each.option]) for each in AIR.inputs[1:])
    high = measured(ALTITUDE, answers.get("altitude", "0 m"))
    weather = measured(PRESSURE, answers.get("pressure", "1013.25 hPa"))
    profile = measured(PROFILE, "7 +- 1" if kind == "centre" else "7 +- 0 %")
    speed = _traversed(answers) if kind == "traverse" else measured(SPEED, answers["speed"])
    if _by_hot_wire(answers):
        pressure_pa = pressure_at_altitude_pa(high.value, weather.value * 100)
        by = true_speed_m_s(1.0, outlet.value, pressure_pa)
        speed = replace(speed, value=speed.value * by, error=speed.error * by)

    def mean_m_s(v: float, n: float) -> float:
        return v * mean_to_centre_ratio(n) if kind == "centre" else v

    def heat_kw(v: float, n: float, *air: float) -> float:
        d, t0, t1, h, p = air
        return air_heat_kw(mean_m_s(v, n), d, t0, t1, pressure_at_altitude_pa(h, p * 100))

    readings = (speed, profile, bore, inlet, outlet, high, weather)
    source = {"centre": PROFILE_SOURCE, "mean": AIR_SOURCE, "traverse": TRAVERSE_SOURCE}[kind]
    mean = derive(
        "mean air speed", "m/s", mean_m_s, (speed, profile), formula=PLACES[kind], source=source
    )
    how = f"{bore.value:g} mm bore, {inlet.value:g} C to {outlet.value:g} C"
    if high.value:
        how += f", {high.value:g} m up"
    heat = derive("heat out", "kW", heat_kw, readings, formula=how, source=source)
    return Side(readings, heat_kw, (mean, heat))


def _by_hot_wire(answers: Mapping[str, str]) -> bool:
    text = answers.get(ANEMOMETER.option, "vane").strip()[:LONGEST]
    one_of(ANEMOMETER.name, text, ("vane", "hot-wire"))
    return text == "hot-wire"


def _traversed(answers: Mapping[str, str]) -> Measurement:
    """Return a traverse's mean speed; three or four points to the radius, by their number."""
    text, mark, error = answers["traverse"].replace("±", "+-").partition("+-")
    one = SPEED
    speeds = [read_amount("traverse", each, "m/s") for each in text.replace(";", " ").split()]
    per_radius = 4 if len(speeds) % 8 == 0 and len(speeds) % 6 and speeds else 3
    mean = traverse_mean_m_s(speeds, per_radius)
    return measured(one, f"{mean:.12f} m/s{f' +- {error}' if mark else ''}")


def readings_of(answers: Mapping[str, str], fuel: Side, air: Side) -> HeatReadings | None:
    """Return the readings from which a slip can be named; a bare claim has none."""
    if CLAIMED_HEAT.option in answers:
        return None
    speed, _, bore, inlet, outlet, high, weather = (each.value for each in air.readings)
    rate, dose, warm, _ = (each.value for each in fuel.readings)
    kind: DoseKind = "memory" if _from_memory(answers) else "measured"
    return HeatReadings(
        speed, speed_kind(answers), bore, inlet, outlet, rate, dose / 100, kind,
        fuel_name(answers), warm, pressure_at_altitude_pa(high, weather * 100),
    )  # fmt: skip


def efficiency(fuel: Side, air: Side) -> DerivedFigure:
    """Return heat out over fuel in, in percent, with the errors of both sides."""
    cut = len(air.readings)

    def percent(*values: float) -> float:
        return efficiency_percent(air.compute(*values[:cut]), fuel.compute(*values[cut:]))

    readings = (*air.readings, *fuel.readings)
    gross = gross_percent(percent(*(each.value for each in readings)))
    how = f"heat out / fuel power, net; {gross:.0f} % of the gross heat"
    return derive("efficiency", "%", percent, readings, formula=how, source="energy balance")


def use(
    answers: Mapping[str, str], fuel: Side | None, air: Side | None
) -> tuple[list[DerivedFigure], list[str]]:
    """Return what the run takes of battery and tank, and what more could be said."""
    figures, notes = [], []
    if fuel and TANK.option in answers:
        tank, rate, dose = measured(TANK, answers["tank"]), *fuel.readings[:2]
        figures.append(
            derive(
                "hours on a tank", "h",
                lambda litres, r, d: hours_per_tank(litres, fuel_l_per_h(r, d / 100)),
                (tank, rate, dose), formula=f"{tank.value:g} l over the fuel flow",
                source="arithmetic",
            )
        )  # fmt: skip
    elif fuel:
        notes.append(to_learn("`--tank`", "the hours on a tank"))
    if RUNNING_AMPS.option not in answers:
        return figures, [
            *notes,
            to_learn("`--running-amps`", "what current it takes"),
        ]
    volts = measured(SUPPLY, answers.get("supply", "12.5 V"))
    amps = measured(RUNNING_AMPS, answers[RUNNING_AMPS.option])
    if air:
        figures.append(
            derive(
                "electricity per kWh", "Wh",
                lambda v, a, *rest: electricity_per_kwh(v, a, air.compute(*rest)),
                (volts, amps, *air.readings),
                formula=f"{volts.value:g} V x {amps.value:g} A / heat out",
                source="power over power",
            )
        )  # fmt: skip
    if CAPACITY.option in answers:
        figures.append(_battery_hours(answers, amps))
    return figures, notes


def _battery_hours(answers: Mapping[str, str], amps: Measurement) -> DerivedFigure:
    capacity = measured(CAPACITY, answers[CAPACITY.option])
    used = measured(USED, answers.get("used", "50 %"))
    how = f"{used.value:g} % of {capacity.value:g} Ah over {amps.value:g} A"
    return derive(
        "hours on a battery", "h",
        lambda ah, percent, a: hours_carried(usable_charge_ah(ah, percent), a),
        (capacity, used, amps), formula=how, source="charge over current; half is common practice",
    )  # fmt: skip
