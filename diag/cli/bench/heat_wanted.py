"""The readings that `diag heat` can use, with their meters' usual errors.

The usual errors are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from diag.cli.bench.readings import Group, Wanted

FUEL_SAYS = "fuel flow and power"
HEAT_SAYS = "the heat in the air"
CAUGHT = "with 200 pulses in a narrow measuring cylinder"

RATE = Wanted(
    "rate", "pulse rate", "Hz", "Pulses a second?", "2 %", "by a stopwatch count", most=50.0
)
PULSES = Wanted(
    "pulses", "pulses", "1", "Pulses counted?", "1", "over a whole minute", most=100000.0
)
SECONDS = Wanted(
    "seconds",
    "counting time",
    "s",
    "Seconds that it took?",
    "0.5 s",
    "over a whole minute",
    most=86400.0,
)
DOSE = Wanted(
    "dose", "dose of 100 pulses", "ml", "Millilitres in 100 pulses?", "3 %", CAUGHT, most=100.0
)

SPEED = Wanted(
    "speed", "air speed", "m/s", "Air speed at the centre of the outlet?", "3 % + 0.1 m/s",
    "as a traverse by `--traverse`", most=60.0,
)  # fmt: skip
TRAVERSE = Wanted("traverse", "traverse", "m/s")
BORE = Wanted(
    "bore",
    "duct bore",
    "mm",
    "Bore of the duct, inside?",
    "0.5 mm",
    "inside, with a caliper",
    most=1000.0,
)
INLET = Wanted(
    "inlet", "inlet temperature", "C", "Air temperature at the inlet?", "1 C",
    "at the inlet itself, out of the warm air's way",
)  # fmt: skip
OUTLET = Wanted(
    "outlet", "outlet temperature", "C", "Air temperature at the outlet?", "2 C",
    "where the speed was taken, shaded from the hot parts",
)  # fmt: skip
CLAIM = Wanted("heat", "claimed heat", "kW", "Heat claimed?", most=200.0)

FUEL = Group(FUEL_SAYS, (RATE, DOSE))
FUEL_COUNTED = Group(FUEL_SAYS, (PULSES, SECONDS, DOSE))
AIR = Group(HEAT_SAYS, (SPEED, BORE, INLET, OUTLET))
TRAVERSED = Group(HEAT_SAYS, (TRAVERSE, BORE, INLET, OUTLET))

PLACES = MappingProxyType(
    {
        "centre": "0.817 x the centre speed, n = 7",
        "mean": "taken as the mean",
        "traverse": "mean of the traverse",
    }
)

TANK = Wanted("tank", "tank", "l", error="2 %", most=10000.0)
RUNNING = (
    Wanted("supply", "supply voltage", "V", error="1 %", most=60.0),
    Wanted(
        "amps", "running current", "A", error="2 % + 0.1 A",
        again="with the clamp zeroed, or with a better one", most=200.0,
    ),
)  # fmt: skip
CAPACITY = Wanted("battery", "battery capacity", "Ah", error="5 %", most=5000.0)
USED = Wanted("used", "share of the capacity used", "%")
EXPECTED_DOSE = Wanted("expected-dose", "expected dose of 100 pulses", "ml", most=100.0)


FUEL_C = Wanted("fuel-temperature", "fuel temperature", "C", error="3 C")
# Density and net heat of a litre vary from tank to tank within EN 590.
AS_SOLD = Wanted(
    "as-sold", "heat in a litre as sold", "1", error="2 %", again="by weighing a litre of it"
)
PROFILE = Wanted("profile", "velocity profile", "1", again="as a traverse by `--traverse`")
ALTITUDE = Wanted("altitude", "altitude", "m", error="20 m")
PRESSURE = Wanted(
    "pressure", "sea-level pressure", "hPa", error="10 hPa", again="from a weather report"
)


def dose_wanted(from_memory: bool) -> Wanted:
    """Return the dose as measured, or with the wide error of one from memory."""
    if not from_memory:
        return DOSE
    return replace(DOSE, error="15 %", again=f"measured {CAUGHT}")
