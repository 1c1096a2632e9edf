"""What `diag battery` takes: a load test, the supply cable, the battery, and what it carries."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from diag.bench.amounts import LONGEST, read_amount
from diag.bench.cable.inputs import area_mm2
from diag.bench.inputs import Input
from diag.physics.errors import PhysicsError, between, celsius
from diag.physics.supply.battery import MAX_VOLTS_V
from diag.physics.supply.charge import CHEMISTRIES, Chemistry

VOLTS_ERROR = "0.5 % + 0.02 V"  # a plain multimeter on its 20 V range: common practice, no source
AMPS_ERROR = "2 % + 0.1 A"  # a plain DC clamp, zeroed: common practice, no source


def _believable(name: str, text: str, unit: str) -> float:
    """Read a value above 0, and guess the slip when a voltage is beyond any battery."""
    value = read_amount(name, text, unit)
    if unit != "V" or value <= MAX_VOLTS_V:
        if value <= 0:
            raise ValueError(f"`{name}` is `{text.strip()}`: expected more than 0 {unit}")
        return value
    guess = next((value / by for by in (10, 100, 1000) if 6 <= value / by <= 32), None)
    slip = f", perhaps {guess:.4g} V is meant" if guess else ""
    raise ValueError(f"`{name}` is `{text.strip()}`: expected at most {MAX_VOLTS_V:g} V{slip}")


def chemistry_of(text: str) -> Chemistry:
    """Read a chemistry in any case; raise `ValueError` with the nearest names for another."""
    typed = text.strip()[:LONGEST]
    known = {name.lower(): name for name in CHEMISTRIES}
    if typed.lower() in known:
        return known[typed.lower()]
    from difflib import get_close_matches

    near = [known[name] for name in get_close_matches(typed.lower(), known, n=2, cutoff=0.4)]
    perhaps = f"; perhaps {' or '.join(f'`{name}`' for name in near)} is meant" if near else ""
    raise PhysicsError(
        f"`chemistry` is `{typed}`: expected one of {', '.join(CHEMISTRIES)}{perhaps}"
    )


def hours_of(text: str) -> float:
    """Read a time in hours; a bare number is hours. Raises `ValueError` for what cannot be."""
    try:
        hours = read_amount("hours rested", text, "h")
    except ValueError:
        raise PhysicsError(
            f"`hours rested` is `{text.strip()[:LONGEST]}`: expected a time, such as `12 h`"
        ) from None
    return between("hours rested", hours, "h", least=0.0, most=100000.0)


def point_of(text: str) -> tuple[str, str]:
    """Return a further load as typed amps and volts: `250 A 11.55 V`, or amps first."""
    words = re.findall(r"[^\s;]+(?:\s+m?[AV](?!\w))?", text[: 2 * LONGEST])
    if len(words) == 2 and len(text) <= 2 * LONGEST:
        first, second = words
        turned = "v" in first.lower() or "a" in second.lower()
        return (second, first) if turned else (first, second)
    raise PhysicsError(
        f"`point` is `{text.strip()[:LONGEST]}`: expected a current and a voltage, such as "
        "`250 A 11.55 V`"
    )


def _temperature(text: str) -> float:
    name = "battery temperature"
    return celsius(name, read_amount(name, text, "C"))


REST = Input(
    "rest", "volts at rest", "V", "Volts at the terminals, all switched off?", read=_believable,
    help="Volts at the battery's terminals, all switched off.",
)  # fmt: skip
TERMINALS = Input(
    "terminals", "volts under load", "V", "Volts at the terminals while the load draws?",
    read=_believable, help="Under load: volts at the battery's terminals.",
)  # fmt: skip
LOAD_AMPS = Input(
    "load-amps", "load current", "A", "Current that the load draws?", read=_believable,
    help="Current that the load draws.",
)  # fmt: skip
LOAD_POINT = Input(
    "point", "point", help="One more load, '250 A 11.55 V'; may be given again.", shape="LOAD",
    given="often",
)  # fmt: skip
IGNITION_AMPS = Input(
    "ignition-amps", "ignition current", "A",
    help="Current while the heater ignites; 10 A at 12 V if left out.",
)  # fmt: skip
SURGE_AMPS = Input(
    "surge-amps", "surge current", "A",
    help="First surge of the glow plug; 1.5 times the ignition current if left out.",
)  # fmt: skip
GLOW_PLUG_TIME = Input(
    "glow-plug-time", "glow plug time", "s",
    "How long the glow plug heats (Enter: not known)?", most=3600.0,
    help="How long the glow plug heats, 30 to 180 s.",
)  # fmt: skip
CUT_OFF = Input(
    "cut-off", "low-voltage cut-off", "V",
    help="Low-voltage cut-off; 10.5 V at 12 V if left out.",
)  # fmt: skip
LENGTH = Input(
    "length", "cable length one way", "m", "Supply cable, one way (Enter: not known)?",
    read=_believable, help="Length of the supply cable, one way.",
)  # fmt: skip
AREA = Input(
    "area", "conductor area", "mm2", "Area of one conductor, mm2 or AWG?", read=area_mm2,
    help="Area of one conductor: 2.5 mm2 or 14 AWG.",
)  # fmt: skip
JOINTS = Input(
    "joints", "joint resistance", "ohm", help="Resistance of joints and fuse holder: 10 mohm."
)
CHEMISTRY = Input(
    "chemistry", "chemistry", "", "Kind: flooded, AGM, gel or LiFePO4 (Enter: leave out)?",
    help="flooded, AGM, gel or LiFePO4.", shape="CHEMISTRY", check=chemistry_of,
)  # fmt: skip
TEMPERATURE = Input(
    "battery-temperature", "battery temperature", "C", "Its temperature (Enter: 25 C)?", "2 C",
    "on the case, after hours in one place",
    help="The battery's temperature; 25 C if left out.",
    check=_temperature,
)  # fmt: skip
RESTED = Input(
    "rested", "hours rested", "h", "Hours without charge or load (Enter: not known)?",
    help="Hours without charge or load before the rest volts.", check=hours_of,
)  # fmt: skip
COLD_CRANK = Input(
    "cold-crank", "cold-crank current", "A", most=2000.0,
    help="Cold-crank rating, for the load test at half of it.",
)  # fmt: skip
CAPACITY = Input(
    "capacity", "battery capacity", "Ah", "Its capacity (Enter: not known)?", "10 %",
    "from a timed discharge", most=5000.0, help="Capacity of the battery.",
)  # fmt: skip
USED = Input(
    "used", "share of the capacity used", "%",
    help="Share of the capacity that may be used; 50 %, LiFePO4 80 %, if left out.",
)  # fmt: skip
RUNNING_AMPS = Input(
    "running-amps", "running currents", "A",
    help="Currents while it runs at low, mid and high: '0.9 1.5 3 A'.", shape="AMPS",
)  # fmt: skip
STANDBY_AMPS = Input(
    "standby-amps", "standby current", "A", error="2 %", again="in series", most=100.0,
    help="Drain with all switched off.",
)  # fmt: skip
VOLTS_METER = Input(
    "volts-error", "voltmeter's error", help="Error of the voltmeter: '0.5 % + 0.02 V'.",
    shape="ERROR",
)  # fmt: skip
AMPS_METER = Input(
    "amps-error", "ammeter's error", help="Error of the ammeter: '2 % + 0.1 A'.", shape="ERROR"
)

NEEDED = (REST, TERMINALS, LOAD_AMPS)
FURTHER = (CHEMISTRY, RESTED, TEMPERATURE, CAPACITY, GLOW_PLUG_TIME)
"""What is asked for once a load test is there; without the kind the rest would tell little."""
INPUTS = (
    *NEEDED, LOAD_POINT, IGNITION_AMPS, SURGE_AMPS, GLOW_PLUG_TIME, CUT_OFF, LENGTH, AREA, JOINTS,
    CHEMISTRY, TEMPERATURE, RESTED, COLD_CRANK, CAPACITY, USED, RUNNING_AMPS, STANDBY_AMPS,
    VOLTS_METER, AMPS_METER,
)  # fmt: skip

MORE = (
    ((LENGTH, AREA), "the volts at the heater's connector"),
    ((CHEMISTRY,), "how cold and empty it may get"),
    ((CHEMISTRY, RESTED), "its charge"),
    ((GLOW_PLUG_TIME,), "the sag"),
    ((CAPACITY,), "hours, starts and days"),
    ((COLD_CRANK,), "if it passes the load test"),
)
"""What to add, and what it tells then."""
WITH_CAPACITY = (
    (RUNNING_AMPS, "hours"), (GLOW_PLUG_TIME, "starts"), (STANDBY_AMPS, "days of standby")
)  # fmt: skip
IDLE: Mapping[Input, tuple[Input, ...]] = MappingProxyType(
    {
        SURGE_AMPS: (GLOW_PLUG_TIME,),
        USED: (CAPACITY,),
        RUNNING_AMPS: (CAPACITY,),
        STANDBY_AMPS: (CAPACITY,),
        TEMPERATURE: (CHEMISTRY, CAPACITY, COLD_CRANK),
    }
)
"""Inputs that say nothing without one of these."""
