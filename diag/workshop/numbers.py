"""The world's own numbers: what a sound unit of a class is made of, and how units scatter.

They are the world's, not the rulebook's: nothing here is read from a unit file. Each table names
where its numbers come from; `memory` is common practice without a published source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any


@dataclass(frozen=True, slots=True)
class Number:
    """Hold a number of a sound unit, and by what share of itself units scatter about it."""

    value: Any
    scatter: float = 0.0


@dataclass(frozen=True, slots=True)
class PartNumbers:
    """Hold the numbers of one part by quantity, and where they come from."""

    origin: str
    numbers: Mapping[str, Number]


def _part(origin: str, **numbers: object) -> PartNumbers:
    """Take numbers by quantity with `_` for a space; a pair is a value and its scatter."""
    found = {
        name.replace("_", " "): Number(*each) if isinstance(each, tuple) else Number(each)
        for name, each in numbers.items()
    }
    return PartNumbers(origin, MappingProxyType(found))


_SUPPLY = {
    "battery": _part(
        "check pages of battery resistance (3 to 5 mohm healthy), memory for the rest",
        kind="AGM", nominal=12.0, capacity=(90.0, 0.1), charge=(0.9, 0.08), health=(0.9, 0.1),
        resistance=(0.005, 0.2), temperature=15.0,
    ),
    "charger": _part("memory: none connected", volts=13.8, limit=0.0),
    "other loads": _part("memory", load=0.0, drain=(0.01, 0.5)),
    "positive joint": _part("connector tables: a few mohm", resistance=(0.002, 0.5)),
    "positive cable": _part(
        "memory of usual fittings", length=(3.0, 0.3), area=4.0, broken_strands=0.0,
        temperature=20.0,
    ),
    "fuse": _part(
        "memory of blade fuses", rating=20.0, holder=(0.004, 0.4), blown=0.0, heating=0.0
    ),
    "isolator": _part("memory", contact=(0.002, 0.5), shut=1.0),
    "supply connector": _part(
        "connector tables: a few mohm", positive_pin=(0.004, 0.4), negative_pin=(0.004, 0.4)
    ),
    "negative cable": _part(
        "memory of usual fittings", length=(3.0, 0.3), area=4.0, broken_strands=0.0,
        temperature=20.0,
    ),
    "negative joint": _part("connector tables: a few mohm", resistance=(0.002, 0.5)),
}  # fmt: skip

_IGNITION = {
    "glow plug": _part(
        "memory: about 9 A and 950 C on 12 V", cold_resistance=(0.50, 0.04),
        temperature_coefficient=(0.0016, 0.03), heat_capacity=(1.6, 0.1),
        conductance=(0.040, 0.04), radiating_area=(5.0, 0.04), deposit=(0.1, 0.9),
        burns_out_at=1350.0,
    ),
    "plug wire": _part("geometry of 0.5 m of 1.5 mm2", resistance=(0.012, 0.2)),
    "plug connector": _part("connector tables", resistance=(0.004, 0.5)),
    "screen": _part("memory", clogging=(0.1, 0.9), gap=0.0),
}  # fmt: skip

_FUEL = {
    "pump": _part(
        "memory: 2 ml in 100 pulses in the small class", coil_resistance=(10.0, 0.05),
        dose=(2.2, 0.03), dosing_error=0.0, wear=0.0, stuck=0.0, passing=0.0, pulse=0.045,
    ),
    "pump connector": _part("connector tables", resistance=(0.01, 0.5)),
    "suction hose": _part(
        "memory", length=(1.5, 0.3), bore=2.0, collapse=0.0, air_leak=0.0
    ),
    "delivery hose": _part("memory", length=(2.0, 0.3), bore=2.0, kink=0.0, leak=0.0),
    "filter": _part("memory", clogging=(0.05, 0.9)),
    "tank": _part("memory", level=(40.0, 0.4), vent_blockage=0.0),
    "standpipe": _part("memory", draws_air_below=5.0, lift=(0.5, 0.5)),
    "fuel": _part(
        "EN 590 density, net heat by IPCC; winter diesel by the German calendar",
        temperature=10.0, wax_temperature=-20.0, water=0.0, petrol=0.0, age=0.2,
        density_15c=832.0, net_heat=43.0,
    ),
}  # fmt: skip

_COMBUSTION = {
    "motor": _part(
        "worked brushed motor (2 ohm), memory for its loads", resistance=(2.0, 0.04),
        volt_seconds=(0.0147, 0.02), inertia=(9e-5, 0.1), bearing_drag=(0.0035, 0.3),
        wheel_drag=1.0, seized=0.0,
    ),
    "combustion wheel": _part(
        "from rated heat at an air ratio of 1.5", free_flow=3.71, output=(1.0, 0.03)
    ),
    "intake": _part("memory", blockage=0.0),
    "exhaust": _part("memory", length=(1.0, 0.3), blockage=0.0, leak=0.0, into_cabin=0.1),
    "burner": _part("memory", carbon=(0.03, 0.9), pooled=0.0, burnt_through=0.0),
    "gasket": _part("memory", leak=0.0),
    "exchanger": _part(
        "from rated heat and usual exhaust and outlet temperatures (memory)", soot=(0.03, 0.9),
        crack=0.0, gas_conductance=(3.8, 0.04), air_conductance=(16.5, 0.04),
        design_gas=4.57, design_air=91.8, case_loss=0.45, heat_capacity=(900.0, 0.05),
    ),
}  # fmt: skip

_AIR = {
    "warm air wheel": _part(
        "from rated heat and 75 to 90 K of rise", free_flow=76.3, output=(1.0, 0.03)
    ),
    "inlet": _part("memory", blockage=0.0, recirculation=0.0),
    "duct": _part(
        "memory", bore=60.0, length=(2.0, 0.4), blockage=0.0, crushed=0.0, leak=0.0
    ),
    "outlets": _part("memory", open=1.0),
    "cabin": _part(
        "memory of a small van", volume=(10.0, 0.2), ventilation=(12.0, 0.4), loss=(50.0, 0.2),
        heat_capacity=(90.0, 0.2), temperature=12.0, carbon_monoxide=0.0,
    ),
    "weather": _part("memory", temperature=8.0, altitude=100.0),
}  # fmt: skip

_CONTROL = {
    "flame sensor": _part(
        "IEC 60751", element="platinum", offset=0.0, wire=(0.3, 0.5), shorted=0.0, off_its_seat=0.0
    ),
    "overheat sensor": _part(
        "beta equation", element="thermistor", offset=0.0, wire=(0.3, 0.5), shorted=0.0,
        off_its_seat=0.0,
    ),
    "room sensor": _part(
        "beta equation", element="thermistor", offset=0.0, wire=(0.5, 0.5), shorted=0.0,
        off_its_seat=0.0,
    ),
    "panel": _part("memory", wire=(1.0, 0.5), dead=0.0, set_to=30.0),
    "control unit": _part(
        "memory", standby=(0.02, 0.4), awake=(0.2, 0.1), plug_driver=(0.02, 0.2),
        pump_driver=(0.1, 0.2), fan_driver=(0.03, 0.2), low_volts=10.5, high_volts=15.8,
        low_volts_wait=20.0, fan_full=11.8, pump_setting=1.0, failed_starts=0.0,
        locked=0.0, overheated=0.0, water=0.0, code=0.0,
    ),
}  # fmt: skip

SMALL_12_V: Mapping[str, PartNumbers] = MappingProxyType(
    {**_SUPPLY, **_IGNITION, **_FUEL, **_COMBUSTION, **_AIR, **_CONTROL}
)
"""A heater of about 2 kW on 12 V."""


def _overlaid(
    base: Mapping[str, PartNumbers], changes: Mapping[str, Mapping[str, float]]
) -> Mapping[str, PartNumbers]:
    """Give a class as another with some numbers put in the place of its own, scatter kept."""
    made = dict(base)
    for part, numbers in changes.items():
        old = base[part]
        new = {name: Number(value, old.numbers[name].scatter) for name, value in numbers.items()}
        made[part] = PartNumbers(old.origin, MappingProxyType({**old.numbers, **new}))
    return MappingProxyType(made)


_FOR_24_V = {
    "battery": {"nominal": 24.0, "capacity": 45.0},
    "charger": {"volts": 27.6},
    "fuse": {"rating": 15.0},
    "glow plug": {"cold resistance": 2.0},
    "pump": {"coil resistance": 40.0},
}
_CONTROL_24_V = {"standby": 0.015, "awake": 0.1, "low volts": 21.0, "high volts": 31.6}

SMALL_24_V = _overlaid(
    SMALL_12_V,
    {
        **_FOR_24_V,
        "motor": {"resistance": 8.0, "volt seconds": 0.0294},
        "control unit": {**_CONTROL_24_V, "fan full": 23.6},
    },
)
"""The same on 24 V: half the amps through four times the ohms."""

MEDIUM_12_V = _overlaid(
    SMALL_12_V,
    {
        "positive cable": {"length": 4.0, "area": 6.0},
        "negative cable": {"length": 4.0, "area": 6.0},
        "fuse": {"rating": 25.0},
        "pump": {"dose": 4.5},
        "motor": {"resistance": 1.6, "wheel drag": 1.15},
        "combustion wheel": {"free flow": 7.6},
        "warm air wheel": {"free flow": 150.0},
        "exchanger": {
            "gas conductance": 7.9,
            "air conductance": 34.0,
            "design gas": 9.4,
            "design air": 181.0,
            "case loss": 0.8,
            "heat capacity": 1900.0,
        },
        "duct": {"bore": 75.0, "length": 4.0},
        "cabin": {
            "volume": 25.0,
            "ventilation": 25.0,
            "loss": 110.0,
            "heat capacity": 220.0,
        },
        "control unit": {"fan full": 11.3},
    },
)
"""A heater of about 4 kW on 12 V: twice the flows and surfaces of the small one."""

MEDIUM_24_V = _overlaid(
    MEDIUM_12_V,
    {
        **_FOR_24_V,
        "pump": {"coil resistance": 40.0},
        "motor": {"resistance": 6.4, "volt seconds": 0.0294},
        "control unit": {**_CONTROL_24_V, "fan full": 22.6},
    },
)
"""The same on 24 V."""

CLASSES: Mapping[str, Mapping[str, PartNumbers]] = MappingProxyType(
    {
        "small 12 V": SMALL_12_V,
        "small 24 V": SMALL_24_V,
        "medium 12 V": MEDIUM_12_V,
        "medium 24 V": MEDIUM_24_V,
    }
)
"""The classes of units by the names that their files have."""
