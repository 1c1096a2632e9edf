"""What `diag exhaust` takes: the exhaust gas, its smoke, carbon monoxide, and the height."""

from __future__ import annotations

from diag.bench.amounts import read_amount
from diag.bench.inputs import Input, InputGroup
from diag.physics.combustion.carbon_monoxide import Sample
from diag.physics.combustion.flue import mean_smoke_spot
from diag.physics.errors import between

METER_ERROR = "5 % + 3 ppm"  # a plain electrochemical meter: common practice, no source
PROBE = "with the probe deeper and the pipe sealed round it"
ZEROED = "with the meter zeroed in clean air"
DIGITS = frozenset("0123456789.,")


def _mean_spot(name: str, text: str, unit: str) -> float:
    spots = [read_amount(name, each, unit) for each in text.replace(";", " ").split()]
    return mean_smoke_spot(spots)


def samples_of(name: str, text: str, lasts_min: float) -> tuple[Sample, ...]:
    """Read a single value that lasts so many minutes, or a record as `0:12 15:40 30:38`.

    Raises `ValueError` with one sentence for what cannot be read.

    >>> samples_of("CO", "0:12 15:40", 60.0)[1]
    Sample(minute=15.0, ppm=40.0)
    """
    if ":" not in text:
        ppm = between(name, read_amount(name, text, "ppm"), "ppm", least=0.0, most=1e5)
        return (Sample(0.0, ppm), Sample(lasts_min, ppm))
    points = text.replace("ppm", " ").replace(";", " ").split()
    pairs = [point.partition(":")[::2] for point in points]
    if not all(each and DIGITS.issuperset(each) for pair in pairs for each in pair):
        raise ValueError(
            f"`{name}` is `{text.strip()[:60]}`: expected one value, such as `35 ppm`, or minutes "
            "and values, such as `0:12 15:40 30:38`"
        )
    return tuple(
        Sample(read_amount("minute", minute, "min"), read_amount(name, ppm, "ppm"))
        for minute, ppm in pairs
    )


def _highest(name: str, text: str, unit: str) -> float:
    """Return the highest value of a record, so that a slip is found when it is typed."""
    return max(sample.ppm for sample in samples_of(name, text, 1.0))


O2 = Input(
    "o2", "oxygen in the flue gas", "%", "Oxygen in the dry exhaust gas?", "0.3 %", PROBE,
    help="Oxygen in the dry exhaust gas.",
)  # fmt: skip
CO2 = Input(
    "co2", "carbon dioxide in the flue gas", "%", "Carbon dioxide in the exhaust gas?", "0.4 %",
    PROBE, help="Carbon dioxide in the dry exhaust gas.",
)  # fmt: skip
GAS_TEMPERATURE = Input(
    "gas-temperature", "flue gas temperature", "C", "Temperature of the exhaust gas?", "3 C",
    "in the middle of the pipe", help="Temperature of the exhaust gas.",
)  # fmt: skip
AIR_TEMPERATURE = Input(
    "air-temperature", "combustion air temperature", "C", "Temperature of its air?", "1 C",
    help="Temperature of the combustion air.",
)  # fmt: skip
# Half a step for each spot, so 0.3 for the mean of three.
SMOKE = Input(
    "smoke", "smoke spot number", "1", "Smoke spots, three or more of ten strokes each?", "0.3",
    "with ten steady strokes for each spot", _mean_spot,
    help="Smoke spot numbers, three or more: '1 0 1'.", shape="SPOTS",
)  # fmt: skip
CO = Input(
    "co", "carbon monoxide in the exhaust", "ppm", "Carbon monoxide in the exhaust?", METER_ERROR,
    ZEROED, help="Carbon monoxide in the exhaust.",
)  # fmt: skip
CABIN = Input(
    "cabin", "carbon monoxide in the cabin", "ppm",
    "Carbon monoxide in the cabin, or minute:ppm ...?", METER_ERROR, ZEROED, _highest,
    help="CO in the cabin: '35 ppm', or minute:ppm '0:12 15:40'.",
)  # fmt: skip
MINUTES = Input("minutes", "minutes", "min", help="How long a single cabin value lasted.")
ALTITUDE = Input(
    "altitude", "altitude", "m", "Altitude where it is to run?", "20 m",
    help="Where the heater is to run.",
)  # fmt: skip
SET_AT = Input(
    "set-at", "altitude where it was set", "m", error="20 m",
    help="Where it was set and read; sea level if left out.",
)  # fmt: skip
FUEL_KIND = Input("fuel", "fuel", help="diesel, kerosene or jet kerosene.", shape="FUEL")
INPUTS = (
    O2, CO2, GAS_TEMPERATURE, AIR_TEMPERATURE, SMOKE, CO, CABIN, MINUTES, ALTITUDE, SET_AT,
    FUEL_KIND,
)  # fmt: skip

EXCESS_SAYS, LOSS_SAYS = "the excess air", "what leaves with the exhaust"


def groups_of(by_co2: bool) -> tuple[InputGroup, ...]:
    """Return the inputs that belong together, with carbon dioxide or oxygen as the gas."""
    cell = CO2 if by_co2 else O2
    return (
        InputGroup(EXCESS_SAYS, (cell,)),
        InputGroup(LOSS_SAYS, (cell, GAS_TEMPERATURE, AIR_TEMPERATURE)),
        InputGroup("the smoke against its limit", (SMOKE,)),
        InputGroup("the carbon monoxide of the exhaust", (CO,)),
        InputGroup("the cabin's carbon monoxide against exposure limits", (CABIN,)),
        InputGroup("what altitude does to the mixture", (ALTITUDE,)),
    )
