"""What each fault does to a start, told by people who know heaters: what changes, what does not.

A row names readings of `READINGS` that must be less or more than the sound unit's, those that must
be the same, phases that are never reached, and the flashes. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diag.workshop import Fault

BURNING = ("ramp", "full", "low")
READINGS: dict[str, tuple[tuple[str, ...], str, str]] = {
    "terminal volts": (("glow",), "lowest", "volts at the battery"),
    "unit volts": (("glow",), "lowest", "volts at the unit"),
    "glow amps": (("glow",), "typical", "amps"),
    "plug amps": (("glow",), "typical", "plug amps"),
    "plug volts": (("glow",), "typical", "plug volts"),
    "plug heat": (("glow",), "highest", "plug temperature"),
    "run-up amps": (("fan run-up",), "highest", "amps"),
    "run-up amps at its end": (("fan run-up",), "last", "amps"),
    "positive drop": (("glow",), "typical", "volts: positive terminal to unit positive"),
    "negative drop": (("glow",), "typical", "volts: unit negative to negative terminal"),
    "fuse drop": (("glow",), "typical", "volts: positive cable start to fuse out"),
    "fan speed": (("glow",), "last", "fan speed"),
    "fuel flow": (("fuel",), "typical", "fuel flow"),
    "full flow": (BURNING, "last", "fuel flow"),
    "pump volts": (("fuel",), "typical", "pump volts"),
    "suction": (("fuel", *BURNING), "highest", "suction"),
    "bubbles": (("fuel",), "highest", "bubbles"),
    "heat": (BURNING, "highest", "heat"),
    "outlet": (BURNING, "highest", "outlet temperature"),
    "air speed": (BURNING, "highest", "outlet air speed"),
    "inlet": (BURNING, "last", "inlet temperature"),
    "exhaust": (BURNING, "highest", "exhaust temperature"),
    "air ratio": (BURNING, "last", "air ratio"),
    "smoke": (BURNING, "last", "smoke spot"),
    "monoxide": (BURNING, "last", "carbon monoxide"),
    "cabin monoxide": (BURNING, "highest", "cabin carbon monoxide"),
    "burning amps": (BURNING, "last", "amps"),
    "white smoke": (("fuel",), "highest", "white smoke"),
    "flame ohms": (("glow",), "typical", "flame sensor"),
    "standby amps": (("off",), "lowest", "amps"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """Hold what one fault must change, and what it must leave alone."""

    fault: Fault
    less: Sequence[str] = ()
    more: Sequence[str] = ()
    same: Sequence[str] = ()
    never: Sequence[str] = ()
    flashes: int = 0


def _becomes(part: str, quantity: str, degree: float) -> Fault:
    return Fault(part, quantity, "becomes", degree)


_OPEN = 1e7
_AIR = ("outlet", "air speed", "heat")
_SUPPLY = ("terminal volts", "unit volts", "run-up amps")
_FLAME = ("air ratio", "smoke", "exhaust")

SUPPLY = (
    Row(_becomes("battery", "charge", 0.1), ("terminal volts", "unit volts", "plug heat"), (),
        ("air ratio", *_AIR)),
    Row(_becomes("battery", "health", 0.15), ("terminal volts", "unit volts"), (),
        ("air ratio", *_AIR)),
    Row(_becomes("battery", "health", 0.05), ("terminal volts", "unit volts"), (), (),
        ("full",), 2),
    Row(_becomes("positive cable", "area", 1.0), ("unit volts",), ("positive drop",),
        ("terminal volts", "negative drop", "heat")),
    Row(_becomes("positive cable", "broken strands", 0.9), ("unit volts", "negative drop"),
        ("positive drop",), ("terminal volts",)),
    Row(_becomes("negative joint", "resistance", 0.1), ("unit volts", "plug heat", "positive drop"),
        ("negative drop",), ("terminal volts", "heat")),
    Row(_becomes("positive joint", "resistance", 0.1),
        ("unit volts", "plug heat", "negative drop", "fuse drop"), ("positive drop",),
        ("terminal volts", "heat")),
    Row(_becomes("negative joint", "resistance", 0.3), ("unit volts",), ("negative drop",),
        ("terminal volts",), ("fuel", "full"), 2),
    Row(_becomes("fuse", "holder", 0.08), ("unit volts",), ("fuse drop", "positive drop"),
        ("terminal volts", "negative drop")),
    Row(_becomes("fuse", "blown", 1.0), never=("fan run-up", "glow")),
    Row(_becomes("isolator", "shut", 0.0), never=("fan run-up", "glow")),
    Row(_becomes("supply connector", "positive pin", 0.1),
        ("unit volts", "fuse drop", "negative drop"), ("positive drop",), ("terminal volts",)),
    Row(_becomes("control unit", "standby", 0.4), (), ("standby amps",),
        (*_SUPPLY, *_AIR, *_FLAME, "burning amps")),
    Row(_becomes("panel", "wire", _OPEN), never=("fan run-up",)),
    Row(_becomes("control unit", "overheated", 1.0), never=("fan run-up",)),
)  # fmt: skip

IGNITION = (
    Row(Fault("glow plug", "cold resistance", "times", 1.6),
        ("plug amps", "glow amps", "plug heat"), (), ("run-up amps", "fuel flow", *_AIR, *_FLAME)),
    Row(_becomes("glow plug", "cold resistance", _OPEN), ("plug amps",), (),
        ("run-up amps",), ("fuel", "full"), 5),
    Row(_becomes("glow plug", "deposit", 0.85), (), ("white smoke",),
        ("plug amps", "plug heat", "unit volts")),
    Row(_becomes("plug connector", "resistance", 0.25),
        ("plug amps", "plug volts", "plug heat"), (), ("run-up amps", "fuel flow", "heat")),
    Row(_becomes("plug connector", "resistance", 1.0), ("plug amps", "plug heat"), (),
        ("run-up amps", "fuel flow"), ("flame", "full")),
    Row(_becomes("screen", "clogging", 0.99), (), ("white smoke",),
        ("plug amps", "unit volts", "fuel flow"), ("flame", "full")),
    Row(_becomes("screen", "gap", 3.95), (), ("white smoke",), ("plug amps", "fuel flow"),
        ("full",)),
)  # fmt: skip

FUEL = (
    Row(_becomes("pump", "stuck", 1.0), ("fuel flow", "white smoke"), (),
        ("plug amps", "unit volts"), ("flame", "full")),
    Row(_becomes("pump", "coil resistance", _OPEN), (), (), ("plug amps", "unit volts"),
        ("flame", "full"), 6),
    Row(_becomes("pump", "wear", 0.3), ("fuel flow", "heat", "exhaust"), ("air ratio",),
        ("plug amps", "unit volts")),
    Row(_becomes("pump", "dosing error", 0.3), ("air ratio",),
        ("fuel flow", "heat", "exhaust", "smoke"), ("plug amps", "unit volts")),
    Row(_becomes("control unit", "pump setting", 1.3), ("air ratio",), ("full flow", "smoke"),
        ("plug amps",)),
    Row(_becomes("pump connector", "resistance", 8.0), ("pump volts", "fuel flow"), (),
        ("plug amps", "unit volts"), ("full",)),
    Row(_becomes("filter", "clogging", 0.85), ("full flow", "heat"), ("suction", "air ratio"),
        ("plug amps", "bubbles")),
    Row(_becomes("filter", "clogging", 0.97), ("fuel flow",), (), ("plug amps",), ("full",)),
    Row(_becomes("suction hose", "air leak", 0.5), (), ("bubbles",),
        ("plug amps", "unit volts"), ("full",)),
    Row(_becomes("suction hose", "collapse", 0.5), ("full flow", "heat"), ("suction",),
        ("plug amps",)),
    Row(_becomes("delivery hose", "kink", 0.6), ("full flow", "heat"), ("air ratio",),
        ("plug amps",)),
    Row(_becomes("delivery hose", "leak", 0.3), ("heat", "exhaust"), ("air ratio",),
        ("fuel flow", "plug amps")),
    Row(_becomes("standpipe", "lift", 3.5), ("full flow", "heat"), ("suction", "air ratio"),
        ("plug amps",)),
    Row(_becomes("standpipe", "draws air below", 100.0), ("full flow",), (),
        ("fuel flow", "plug amps", "bubbles")),
    Row(_becomes("fuel", "wax temperature", 15.5), ("fuel flow",), ("suction",), ("plug amps",),
        ("full",)),
    Row(_becomes("fuel", "water", 0.3), ("heat", "exhaust"), ("air ratio",),
        ("fuel flow", "plug amps")),
    Row(_becomes("fuel", "age", 5.0), (), ("smoke",), ("fuel flow", "heat", "plug amps")),
)  # fmt: skip

COMBUSTION = (
    Row(_becomes("motor", "seized", 1.0), (), ("run-up amps at its end",), ("terminal volts",),
        ("fuel", "full"), 4),
    Row(_becomes("motor", "bearing drag", 0.009), ("fan speed", "air ratio", "air speed"),
        ("burning amps",), ("plug heat", "run-up amps")),
    Row(_becomes("intake", "blockage", 0.7), ("air ratio",), ("smoke", "monoxide"),
        ("fan speed", "full flow", "plug amps")),
    Row(_becomes("exhaust", "blockage", 0.7), ("air ratio",), ("smoke", "monoxide"),
        ("fan speed", "full flow", "plug amps")),
    Row(_becomes("exhaust", "length", 4.0), ("air ratio",), ("smoke",), ("fan speed", "full flow")),
    Row(_becomes("exhaust", "leak", 0.5), (), ("cabin monoxide",), (*_FLAME, *_AIR)),
    Row(_becomes("exchanger", "crack", 0.3), (), ("cabin monoxide",), (*_FLAME, *_AIR)),
    Row(_becomes("gasket", "leak", 0.4), ("air ratio",), ("cabin monoxide", "smoke"),
        ("full flow", "fan speed")),
    Row(_becomes("exchanger", "soot", 0.8), ("heat", "outlet"), ("exhaust",),
        ("air ratio", "smoke", "full flow", "burning amps")),
    Row(_becomes("burner", "carbon", 0.5), ("air ratio",), ("smoke", "monoxide"),
        ("full flow", "fan speed", "plug amps")),
    Row(_becomes("burner", "burnt through", 0.8), (), ("smoke", "monoxide"),
        ("air ratio", "full flow", *_AIR)),
    Row(_becomes("combustion wheel", "output", 0.7), ("air ratio",), ("smoke", "monoxide"),
        ("fan speed", "full flow", "air speed")),
)  # fmt: skip

SENSORS = (
    Row(Fault("flame sensor", "offset", "plus", 70.0), never=("glow", "full"), flashes=13),
    Row(Fault("flame sensor", "offset", "plus", -30.0), ("flame ohms",), (), (*_AIR, *_FLAME)),
    Row(_becomes("flame sensor", "shorted", 1.0), never=("glow",), flashes=7),
    Row(_becomes("overheat sensor", "wire", _OPEN), never=("glow",), flashes=8),
    Row(_becomes("room sensor", "wire", _OPEN), never=("glow",), flashes=9),
    Row(Fault("room sensor", "offset", "plus", 25.0), ("heat",), (), ("plug amps", "fuel flow"),
        ("full",)),
)  # fmt: skip

WARM_AIR = (
    Row(_becomes("duct", "blockage", 0.6), ("air speed",), ("outlet",),
        ("air ratio", "fan speed", "full flow")),
    Row(_becomes("duct", "crushed", 0.5), ("air speed",), ("outlet",),
        ("air ratio", "fan speed", "full flow")),
    Row(_becomes("duct", "leak", 0.6), ("outlet",), ("air speed",), ("air ratio", "full flow")),
    Row(_becomes("outlets", "open", 0.3), ("air speed",), ("outlet",),
        ("air ratio", "fan speed", "full flow")),
    Row(_becomes("outlets", "open", 0.0), ("air speed",), ("outlet",), (), (), 10),
    Row(_becomes("inlet", "blockage", 0.5), ("air speed",), ("outlet",),
        ("air ratio", "fan speed")),
    Row(_becomes("inlet", "recirculation", 0.3), ("heat",), ("inlet", "outlet"),
        ("air ratio", "fan speed", "full flow")),
    Row(_becomes("warm air wheel", "output", 0.8), ("air speed",), ("outlet",),
        ("air ratio", "fan speed")),
    Row(_becomes("weather", "altitude", 2000.0), ("air ratio",), ("smoke", "outlet"),
        ("full flow", "plug amps")),
)  # fmt: skip

ROWS = (*SUPPLY, *IGNITION, *FUEL, *COMBUSTION, *SENSORS, *WARM_AIR)
