"""The states of a start and a run, written down: what each commands and how it is left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Feed = Literal["none", "start", "heat"]


@dataclass(frozen=True, slots=True)
class ControlPhase:
    """Hold one state: commands, least and most time (s), and where which condition leads.

    `fan` is a share of full speed, None where it follows the heat. Exits are tried in order once
    the least time is over; `time up` is true at the most.
    """

    name: str
    fan: float | None
    plug: bool
    feed: Feed
    least_s: float
    most_s: float
    exits: tuple[tuple[str, str], ...]


_BURNING = (("switched off", "shut-down glow"), ("flame lost", "purge"))
_EVER = float("inf")

_LIST = (
    ControlPhase("off", 0.0, False, "none", 0.0, _EVER, (("asked", "fan run-up"),)),
    ControlPhase("fan run-up", 1.0, False, "none", 4.0, 240.0,
          (("switched off", "off"), ("cool", "glow"), ("time up", "fault cool-down"))),
    ControlPhase("glow", 0.42, True, "none", 60.0, 60.0,
          (("switched off", "shut-down glow"), ("time up", "fuel"))),
    ControlPhase("fuel", 0.42, True, "start", 5.0, 90.0,
          (("switched off", "shut-down glow"), ("flame seen", "flame"), ("time up", "purge"))),
    ControlPhase("flame", 0.45, True, "start", 30.0, 30.0, (*_BURNING, ("time up", "ramp"))),
    ControlPhase("ramp", None, False, "heat", 2.0, _EVER,
          (*_BURNING, ("body warm", "low"), ("room warm", "low"), ("at full heat", "full"))),
    ControlPhase("full", None, False, "heat", 2.0, _EVER,
          (*_BURNING, ("body warm", "low"), ("room warm", "low"))),
    ControlPhase("low", None, False, "heat", 30.0, _EVER, (*_BURNING, ("wants heat", "ramp"))),
    ControlPhase("purge", 0.9, False, "none", 60.0, 240.0,
          (("switched off", "cool-down"), ("cool and tries left", "glow"),
           ("no tries left", "fault cool-down"), ("time up", "fault cool-down"))),
    ControlPhase("shut-down glow", 0.42, True, "none", 35.0, 35.0, (("time up", "cool-down"),)),
    ControlPhase("cool-down", 0.6, False, "none", 120.0, 240.0,
          (("body cool", "off"), ("time up", "off"))),
    ControlPhase("fault cool-down", 0.6, False, "none", 90.0, 240.0,
          (("body cool", "fault"), ("time up", "fault"))),
    ControlPhase("fault", 0.0, False, "none", 0.0, _EVER, (("asked", "fan run-up"),)),
)  # fmt: skip

PHASES: Mapping[str, ControlPhase] = MappingProxyType({each.name: each for each in _LIST})
"""All states by name."""

BURNING = ("flame", "ramp", "full", "low")
RESTING = ("off", "fault")
SOFTLY = ("glow", "shut-down glow")
STARTING = ("fan run-up", "glow", "fuel")


@dataclass(frozen=True, slots=True)
class Trouble:
    """Hold a condition that ends a run wherever it comes up: its flashes, and where it counts."""

    condition: str
    flashes: int
    phases: tuple[str, ...]


_AWAKE = tuple(name for name in PHASES if name not in (*RESTING, "fault cool-down", "cool-down"))
_FUELLED = ("fuel", "flame", "ramp", "full", "low")
TROUBLES = (
    Trouble("low volts", 2, _AWAKE),
    Trouble("high volts", 3, _AWAKE),
    Trouble("fan too slow", 4, _AWAKE),
    Trouble("plug circuit", 5, ("glow", "fuel")),
    Trouble("pump circuit", 6, _FUELLED),
    Trouble("flame sensor circuit", 7, _AWAKE),
    Trouble("overheat sensor circuit", 8, _AWAKE),
    Trouble("room sensor circuit", 9, ("fan run-up",)),
    Trouble("too hot", 10, _AWAKE),
)
"""What stops the unit, with the number of flashes of this invented family of units."""

NO_FLAME, FLAME_LOST, STILL_HOT, LOCKED = 11, 12, 13, 14
"""Flashes: no flame in any try, flame lost too often, flame sensed before the start, locked."""


@dataclass(frozen=True, slots=True)
class Limits:
    """Hold the limits of the control unit: temperatures (C), times (s), rates (Hz), counts."""

    flame_seen_c: float = 75.0
    flame_lost_c: float = 62.0
    cool_c: float = 58.0
    body_cool_c: float = 45.0
    body_warm_c: float = 160.0
    body_fine_c: float = 138.0
    too_hot_c: float = 180.0
    room_band_k: float = 1.5
    start_hz: float = 1.3
    low_hz: float = 1.0
    full_hz: float = 3.2
    low_fan: float = 0.42
    full_fan: float = 0.97
    ramp_s: float = 75.0
    ease_s: float = 25.0
    plug_soft_s: float = 15.0
    plug_soft_share: float = 0.5
    tries: int = 2
    flame_losses: int = 2
    failed_starts: int = 3
    plug_least_w: float = 40.0
    plug_most_w: float = 400.0
    fan_slow_s: float = 8.0
    wakes_share: float = 0.65  # of the low-volts limit


LIMITS = Limits()
