"""The one supply circuit of a unit: from the battery's terminals through its wires to its loads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diag.physics.supply.conductor import ohm_per_km
from diag.workshop.amount import OPEN_OHM
from diag.workshop.heater import Heater
from diag.workshop.laws import battery as cells
from diag.workshop.laws.circuit import LEAST_OHM, CircuitBranch, SetCurrent, solve
from diag.workshop.parts.supply import Cable

GROUND = "negative terminal"
TERMINAL, CABLE_START, FUSE_OUT, ISOLATOR_OUT = (
    "positive terminal", "positive cable start", "fuse out", "isolator out",
)  # fmt: skip
CONNECTOR, UNIT = "connector positive", "unit positive"
UNIT_BACK, CONNECTOR_BACK, EARTH_END = "unit negative", "connector negative", "earth end"
NODES = (
    GROUND, TERMINAL, CABLE_START, FUSE_OUT, ISOLATOR_OUT, CONNECTOR, UNIT, UNIT_BACK,
    CONNECTOR_BACK, EARTH_END,
)  # fmt: skip
"""Where a meter's tips can go, from the battery to the unit and back."""

_CHARGER_OHM = 0.02
_JUMPER_OHM = 0.01


@dataclass(frozen=True, slots=True)
class Draw:
    """Hold what the unit asks for: its electronics (A) and its drivers' shares of time.

    The plug's and the pump's branches are ohms with their driver and wires; the fan's share is
    that of the supply's volts that its motor gets, at a speed's own volts.
    """

    electronics_a: float = 0.0
    plug_share: float = 0.0
    plug_ohm: float = OPEN_OHM
    pump_share: float = 0.0
    pump_ohm: float = OPEN_OHM
    fan_share: float = 0.0
    fan_ohm: float = OPEN_OHM
    fan_back_v: float = 0.0


@dataclass(frozen=True, slots=True)
class Jumper:
    """Hold a jumper wire between two nodes."""

    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Supplied:
    """Hold the volts of every node against the negative terminal, and the mean currents (A)."""

    volts: Mapping[str, float]
    battery_a: float
    unit_a: float
    fuse_a: float

    @property
    def unit_v(self) -> float:
        """Give the volts between the unit's own two pins."""
        return self.volts[UNIT] - self.volts[UNIT_BACK]


def cable_ohm(cable: Cable) -> float:
    """Give a cable's resistance (ohm), IEC 60228 class 5, by the strands that are left."""
    whole = ohm_per_km(cable.area_mm2, "class 5", cable.temperature_c) * cable.length_m / 1000.0
    return min(OPEN_OHM, whole / max(1e-9, 1.0 - cable.broken_strands))


def _wiring(heater: Heater, jumper: Jumper | None) -> list[CircuitBranch]:
    """Give the branches of the supply from terminal to terminal, without the loads."""
    fuse, isolator, pins = heater.fuse, heater.isolator, heater.supply_connector
    found = [
        CircuitBranch(TERMINAL, CABLE_START, heater.positive_joint.resistance_ohm),
        CircuitBranch(CABLE_START, FUSE_OUT, OPEN_OHM if fuse.blown > 0.5 else fuse.holder_ohm),
        CircuitBranch(
            FUSE_OUT, ISOLATOR_OUT, OPEN_OHM if isolator.shut < 0.5 else isolator.contact_ohm
        ),
        CircuitBranch(ISOLATOR_OUT, CONNECTOR, cable_ohm(heater.positive_cable)),
        CircuitBranch(CONNECTOR, UNIT, pins.positive_pin_ohm),
        CircuitBranch(UNIT_BACK, CONNECTOR_BACK, pins.negative_pin_ohm),
        CircuitBranch(CONNECTOR_BACK, EARTH_END, cable_ohm(heater.negative_cable)),
        CircuitBranch(EARTH_END, GROUND, heater.negative_joint.resistance_ohm),
    ]
    if jumper is not None:
        found.append(CircuitBranch(jumper.first, jumper.second, _JUMPER_OHM))
    return found


def _loads(heater: Heater, draw: Draw) -> list[CircuitBranch]:
    """Give the loads of the unit and the vehicle as resistances; the motor pushes back."""
    nominal = heater.battery.nominal_v
    found = [CircuitBranch(UNIT, UNIT_BACK, 1e5)]
    others_a = heater.other_loads.load_a + heater.other_loads.drain_a
    if others_a > 0.0:
        found.append(CircuitBranch(TERMINAL, GROUND, nominal / others_a))
    if draw.electronics_a > 0.0:
        found.append(CircuitBranch(UNIT, UNIT_BACK, nominal / draw.electronics_a))
    if draw.plug_share > 0.0:
        found.append(CircuitBranch(UNIT, UNIT_BACK, draw.plug_ohm / draw.plug_share))
    if draw.pump_share > 0.0:
        found.append(CircuitBranch(UNIT, UNIT_BACK, draw.pump_ohm / draw.pump_share))
    if draw.fan_share > 0.0:
        # A chopped motor: the supply sees R/d2 behind the motor's own volts over d.
        back_v = draw.fan_back_v / draw.fan_share
        found.append(CircuitBranch(UNIT, UNIT_BACK, draw.fan_ohm / draw.fan_share**2, -back_v))
    return found


def supplied(
    heater: Heater, draw: Draw, polarisation_v: float = 0.0, jumper: Jumper | None = None
) -> Supplied:
    """Solve the supply circuit of a unit with what it draws and how far its battery has sagged."""
    inner_ohm = max(LEAST_OHM, cells.resistance_ohm(heater.battery))
    emf_v = cells.rest_v(heater.battery) - polarisation_v
    loads = _loads(heater, draw)
    branches = [
        CircuitBranch(GROUND, TERMINAL, inner_ohm, emf_v),
        *_wiring(heater, jumper),
        *loads,
    ]
    volts = solve(branches, [], GROUND)
    charger = heater.charger
    if charger.limit_a > 0.0 and volts[TERMINAL] < charger.volts_v:
        # The charger gives its volts where its limit allows, and its limit where not.
        held = [*branches, CircuitBranch(GROUND, TERMINAL, _CHARGER_OHM, charger.volts_v)]
        tried = solve(held, [], GROUND)
        if (charger.volts_v - tried[TERMINAL]) / _CHARGER_OHM > charger.limit_a:
            tried = solve(branches, [SetCurrent(GROUND, TERMINAL, charger.limit_a)], GROUND)
        volts = tried
    battery_a = (emf_v - volts[TERMINAL]) / inner_ohm
    unit_v = volts[UNIT] - volts[UNIT_BACK]
    unit_a = sum((unit_v + b.emf_v) / b.ohm for b in loads if b.out_of == UNIT)
    fuse_a = (volts[CABLE_START] - volts[FUSE_OUT]) / (
        OPEN_OHM if heater.fuse.blown > 0.5 else max(heater.fuse.holder_ohm, 1e-6)
    )
    return Supplied(volts, battery_a, unit_a, fuse_a)
