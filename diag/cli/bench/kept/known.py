"""What bench inputs are called as findings and unit data of the shipped rules."""

from __future__ import annotations

from collections.abc import Mapping

FINDINGS: Mapping[str, Mapping[str, str]] = {
    "battery": {
        "rest": "volts at rest",
        "terminals": "volts at the terminals while igniting",
        "load-amps": "amps while igniting",
        "battery-temperature": "battery temperature",
        "capacity": "battery capacity",
        "standby-amps": "standby amps",
        "length": "cable run",
        "area": "cable area",
    },
    "cable": {
        "length": "cable run",
        "area": "cable area",
        "ignition-amps": "amps while igniting",
        "rest": "volts at rest",
        "terminals": "volts at the terminals while igniting",
    },
    "heat": {
        "rate": "pump rate at full power",
        "dose": "fuel from 100 pulses",
        "speed": "air speed at the outlet",
        "bore": "bore of the duct",
        "inlet": "air at the inlet",
        "outlet": "air at the outlet",
        "altitude": "height above the sea",
    },
    "exhaust": {
        "o2": "oxygen in the exhaust",
        "co2": "carbon dioxide in the exhaust",
        "gas-temperature": "exhaust temperature",
        "air-temperature": "air temperature outside",
        "cabin": "carbon monoxide in the cabin",
        "altitude": "height above the sea",
    },
}
"""Command, option, and the finding that is the same reading."""
UNIT_DATA: Mapping[str, Mapping[str, str]] = {
    "battery": {
        "ignition-amps": "ignition current",
        "cut-off": "low-voltage cut-off",
        "length": "supply cable length",
        "area": "supply cable area",
    },
    "cable": {
        "ignition-amps": "ignition current",
        "length": "supply cable length",
        "area": "supply cable area",
    },
    "heat": {},
    "exhaust": {},
}
"""Command, option, and the unit datum that stands for it until it is read."""
FITTED = frozenset({"supply cable length", "supply cable area"})
"""Unit data that hang on who fitted the heater: what its class has tells nothing of this one."""
