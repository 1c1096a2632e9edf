"""What `diag heat` takes: the pump, the warm air, and what a run draws; and runs to compare."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from diag.bench.inputs import Input, InputGroup

FUEL_SAYS = "fuel flow and power"
HEAT_SAYS = "the heat in the air"
CAUGHT = "with 200 pulses in a narrow measuring cylinder"

RATE = Input(
    "rate", "pulse rate", "Hz", "Pulses a second?", "2 %", "by a stopwatch count", most=50.0,
    help="Fuel pump's pulses a second.",
)  # fmt: skip
PULSES = Input(
    "pulses", "pulses", "1", "Pulses counted?", "1", "over a whole minute", most=100000.0,
    help="Or: pulses that were counted ...", shape="N",
)  # fmt: skip
SECONDS = Input(
    "seconds", "counting time", "s", "Seconds that it took?", "0.5 s", "over a whole minute",
    most=86400.0, help="... and the time that it took.",
)  # fmt: skip
DOSE = Input(
    "dose", "dose of 100 pulses", "ml", "Millilitres in 100 pulses?", "3 %", CAUGHT, most=100.0,
    help="Millilitres caught in 100 pulses.",
)  # fmt: skip
DOSE_FROM_MEMORY = Input(
    "dose-from-memory", "dose from memory", help="The dose was not measured.", given="flag"
)
EXPECTED_DOSE = Input(
    "expected-dose", "expected dose of 100 pulses", "ml", most=100.0,
    help="What 100 pulses of a sound pump give.",
)  # fmt: skip
FUEL_KIND = Input("fuel", "fuel", help="diesel, kerosene or jet kerosene.", shape="FUEL")
FUEL_TEMPERATURE = Input(
    "fuel-temperature", "fuel temperature", "C", error="3 C", help="15 C if left out."
)
# Density and net heat of a litre vary from tank to tank within EN 590.
AS_SOLD = Input(
    "as-sold", "heat in a litre as sold", "1", error="2 %", again="by weighing a litre of it"
)

SPEED = Input(
    "speed", "air speed", "m/s", "Air speed at the centre of the outlet?", "3 % + 0.1 m/s",
    "as a traverse by `--traverse`", most=60.0, help="Air speed at the outlet.",
)  # fmt: skip
SPEED_AT = Input("at", "at", help="Where it was read: centre (if left out) or mean.", shape="PLACE")
ANEMOMETER = Input(
    "anemometer", "anemometer", help="What read it: vane (if left out) or hot-wire.", shape="KIND"
)
TRAVERSE = Input(
    "traverse", "traverse", "m/s", help="Or: '8.1 9.6 10.9 10.8 9.7 8.0', 6 or 8 points.",
    shape="SPEEDS",
)  # fmt: skip
PROFILE = Input("profile", "velocity profile", "1", again="as a traverse by `--traverse`")
BORE = Input(
    "bore", "duct bore", "mm", "Bore of the duct, inside?", "0.5 mm", "inside, with a caliper",
    most=1000.0, help="Bore of the duct, inside.",
)  # fmt: skip
INLET = Input(
    "inlet", "inlet temperature", "C", "Air temperature at the inlet?", "1 C",
    "at the inlet itself, out of the warm air's way", help="Air temperature at the inlet.",
)  # fmt: skip
OUTLET = Input(
    "outlet", "outlet temperature", "C", "Air temperature at the outlet?", "2 C",
    "where the speed was taken, shaded from the hot parts", help="Air temperature at the outlet.",
)  # fmt: skip
ALTITUDE = Input("altitude", "altitude", "m", error="20 m", help="Sea level if left out.")
PRESSURE = Input(
    "pressure", "sea-level pressure", "hPa", error="10 hPa", again="from a weather report",
    help="Sea-level pressure of the weather report.",
)  # fmt: skip
CLAIMED_HEAT = Input(
    "claimed-heat", "claimed heat", "kW", "Heat claimed?", most=200.0,
    help="Or: a claimed heat, in place of the air's readings.",
)  # fmt: skip

TANK = Input("tank", "tank", "l", error="2 %", most=10000.0, help="Fuel that may be burnt.")
SUPPLY = Input("supply", "supply voltage", "V", error="1 %", most=60.0, help="12.5 V if left out.")
RUNNING_AMPS = Input(
    "running-amps", "running current", "A", error="2 % + 0.1 A",
    again="with the clamp zeroed, or with a better one", most=200.0,
    help="Current while it runs.",
)  # fmt: skip
CAPACITY = Input(
    "capacity", "battery capacity", "Ah", error="5 %", most=5000.0,
    help="Capacity of the battery.",
)  # fmt: skip
USED = Input(
    "used", "share of the capacity used", "%",
    help="Share of the capacity that may be used; 50 % if left out.",
)  # fmt: skip

INPUTS = (
    RATE, PULSES, SECONDS, DOSE, DOSE_FROM_MEMORY, EXPECTED_DOSE, FUEL_KIND, FUEL_TEMPERATURE,
    SPEED, SPEED_AT, ANEMOMETER, TRAVERSE, BORE, INLET, OUTLET, ALTITUDE, PRESSURE, CLAIMED_HEAT,
    TANK, SUPPLY, RUNNING_AMPS, CAPACITY, USED,
)  # fmt: skip

FUEL = InputGroup(FUEL_SAYS, (RATE, DOSE))
FUEL_COUNTED = InputGroup(FUEL_SAYS, (PULSES, SECONDS, DOSE))
AIR = InputGroup(HEAT_SAYS, (SPEED, BORE, INLET, OUTLET))
TRAVERSED = InputGroup(HEAT_SAYS, (TRAVERSE, BORE, INLET, OUTLET))
CLAIMED = InputGroup(HEAT_SAYS, (CLAIMED_HEAT,))
EITHER = ((RATE, PULSES), (SPEED, TRAVERSE), (SPEED, CLAIMED_HEAT))
"""Inputs of which one takes the other's place."""

PLACES = MappingProxyType(
    {
        "centre": "0.817 x the centre speed, n = 7",
        "mean": "taken as the mean",
        "traverse": "mean of the traverse",
    }
)

RUNS_FILE = Input(
    "file", "file", help="Runs from a file, one a line; - is standard input.", shape="FILE"
)
WANTED_HEAT = Input(
    "wanted-heat", "wanted heat", "kW", most=200.0,
    help="Heat wanted; the most that all can give if left out.",
)  # fmt: skip
ERRORS = tuple(
    Input(f"{word}-error", name, help=f"{usual} if left out.", shape="ERROR")
    for word, name, usual in (
        ("heat", "heat", "6 %"), ("fuel", "fuel", "4 %"),
        ("amps", "current", "'2 % + 0.1 A'"), ("noise", "noise", "'1.5 dB'"),
    )
)  # fmt: skip
COMPARED = (RUNS_FILE, WANTED_HEAT, *ERRORS)


def fuel_group(answers: Mapping[str, str]) -> InputGroup:
    """Return the inputs of the fuel's side: a rate, or the count that was begun."""
    return FUEL_COUNTED if {"pulses", "seconds"} & set(answers) else FUEL


def air_group(answers: Mapping[str, str]) -> InputGroup:
    """Return the inputs of the air's side: a claim, a traverse or a single speed."""
    if CLAIMED_HEAT.option in answers:
        return CLAIMED
    return TRAVERSED if TRAVERSE.option in answers else AIR


def dose_input(from_memory: bool) -> Input:
    """Return the dose as measured, or with the wide error of one from memory."""
    if not from_memory:
        return DOSE
    return replace(DOSE, error="15 %", again=f"measured {CAUGHT}")
