"""The one supply circuit of a unit: from the battery's terminals through its wires to its loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

from diag.model.frozen import frozen
from diag.physics.supply.conductor import ohm_per_km
from diag.workshop.amount import OPEN_OHM
from diag.workshop.heater import Heater, once
from diag.workshop.laws import battery as cells
from diag.workshop.laws.circuit import LEAST_OHM, CircuitBranch, solve
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

_WAY = tuple(ends for ends in pairwise((*NODES[1:], GROUND)) if ends != (UNIT, UNIT_BACK))
_OUT, _BACK = NODES[2:7], tuple(reversed(NODES[7:]))  # nodes as a current meets them, from ends

_CHARGER_OHM = 0.02
_JUMPER_OHM = 0.01


@frozen
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


@frozen
class Jumper:
    """Hold a jumper wire between two nodes."""

    first: str
    second: str


@frozen
class Supplied:
    """Hold the volts at the terminals and between the unit's pins, and the mean currents (A)."""

    terminal_v: float
    unit_v: float
    battery_a: float
    unit_a: float
    fuse_a: float
    wires_ohm: Sequence[float]
    """On the way from the terminal out to the unit and back, in order."""
    jumped: Mapping[str, float] | None = None
    """The volts of all nodes where a jumper wire shortens the way."""

    @property
    def volts(self) -> Mapping[str, float]:
        """Give the volts of every node against the negative terminal."""
        if self.jumped is not None:
            return self.jumped
        here = self.terminal_v
        found = {GROUND: 0.0, TERMINAL: here}
        for node, ohm in zip(_OUT, self.wires_ohm, strict=False):
            found[node] = here = here - self.unit_a * ohm
        here = 0.0
        for node, ohm in zip(_BACK, reversed(self.wires_ohm), strict=False):
            found[node] = here = here + self.unit_a * ohm
        return found


@lru_cache(maxsize=64)
def cable_ohm(cable: Cable) -> float:
    """Give a cable's resistance (ohm), IEC 60228 class 5, by the strands that are left."""
    whole = ohm_per_km(cable.area_mm2, "class 5", cable.temperature_c) * cable.length_m / 1000.0
    return min(OPEN_OHM, whole / max(1e-9, 1.0 - cable.broken_strands))


@once
def _wires_ohm(heater: Heater) -> tuple[float, ...]:
    """Give the resistances on the way from the terminal out to the unit and back, in order."""
    fuse, isolator, pins = heater.fuse, heater.isolator, heater.supply_connector
    found = (
        heater.positive_joint.resistance_ohm,
        OPEN_OHM if fuse.blown > 0.5 else fuse.holder_ohm,
        OPEN_OHM if isolator.shut < 0.5 else isolator.contact_ohm,
        cable_ohm(heater.positive_cable),
        pins.positive_pin_ohm,
        pins.negative_pin_ohm,
        cable_ohm(heater.negative_cable),
        heater.negative_joint.resistance_ohm,
    )
    return tuple(max(LEAST_OHM, ohm) for ohm in found)


@frozen
class _Behind:
    """Hold what stands between two nodes as volts behind a resistance (Thevenin)."""

    volts: float
    ohm: float


def _load(heater: Heater, draw: Draw) -> _Behind:
    """Join the loads of the unit into one; the motor pushes back."""
    siemens = 1e-5 + draw.electronics_a / heater.battery.nominal_v
    pushed_a = 0.0
    if draw.plug_share > 0.0:
        siemens += draw.plug_share / max(LEAST_OHM, draw.plug_ohm)
    if draw.pump_share > 0.0:
        siemens += draw.pump_share / max(LEAST_OHM, draw.pump_ohm)
    if draw.fan_share > 0.0:
        # A chopped motor: the supply sees R/d2 behind the motor's own volts over d.
        fan_siemens = draw.fan_share**2 / max(LEAST_OHM, draw.fan_ohm)
        siemens += fan_siemens
        pushed_a = draw.fan_back_v / draw.fan_share * fan_siemens
    return _Behind(pushed_a / siemens, 1.0 / siemens)


@once
def _inner_ohm(heater: Heater) -> float:
    return max(LEAST_OHM, cells.resistance_ohm(heater.battery))


def _source(heater: Heater, emf_v: float, siemens: float, amps: float) -> _Behind:
    """Join what is at the terminals: battery, other loads, and a charger's siemens and amps."""
    loads = heater.other_loads
    others = (loads.load_a + loads.drain_a) / heater.battery.nominal_v
    inner_ohm = _inner_ohm(heater)
    total = 1.0 / inner_ohm + others + siemens
    return _Behind((emf_v / inner_ohm + amps) / total, 1.0 / total)


@once
def _way_ohm(heater: Heater) -> float:
    return sum(_wires_ohm(heater))


def _in_series(heater: Heater, emf_v: float, source: _Behind, load: _Behind) -> Supplied:
    """Solve the supply without a jumper: the same current flows all the way."""
    amps = (source.volts - load.volts) / (source.ohm + _way_ohm(heater) + load.ohm)
    terminal_v = source.volts - amps * source.ohm
    battery_a = (emf_v - terminal_v) / _inner_ohm(heater)
    unit_v = load.volts + amps * load.ohm
    return Supplied(terminal_v, unit_v, battery_a, amps, amps, _wires_ohm(heater))


def _by_nodes(
    heater: Heater, emf_v: float, source: _Behind, load: _Behind, jumper: Jumper
) -> Supplied:
    """Solve the supply where a jumper wire shortens the way."""
    wires = _wires_ohm(heater)
    branches = [CircuitBranch(*ends, ohm) for ends, ohm in zip(_WAY, wires, strict=True)]
    branches += [
        CircuitBranch(GROUND, TERMINAL, source.ohm, source.volts),
        CircuitBranch(UNIT, UNIT_BACK, load.ohm, -load.volts),
        CircuitBranch(jumper.first, jumper.second, _JUMPER_OHM),
    ]
    volts = solve(branches, [], GROUND)
    unit_v = volts[UNIT] - volts[UNIT_BACK]
    return Supplied(
        volts[TERMINAL],
        unit_v,
        battery_a=(emf_v - volts[TERMINAL]) / _inner_ohm(heater),
        unit_a=(unit_v - load.volts) / load.ohm,
        fuse_a=(volts[CABLE_START] - volts[FUSE_OUT]) / wires[1],
        wires_ohm=wires,
        jumped=volts,
    )


def supplied(
    heater: Heater, draw: Draw, polarisation_v: float = 0.0, jumper: Jumper | None = None
) -> Supplied:
    """Solve the supply circuit of a unit with what it draws and how far its battery has sagged."""
    emf_v = cells.rest_v(heater.battery) - polarisation_v
    load = _load(heater, draw)

    def with_charger(siemens: float, amps: float) -> Supplied:
        source = _source(heater, emf_v, siemens, amps)
        if jumper is None:
            return _in_series(heater, emf_v, source, load)
        return _by_nodes(heater, emf_v, source, load, jumper)

    found, charger = with_charger(0.0, 0.0), heater.charger
    if charger.limit_a > 0.0 and found.terminal_v < charger.volts_v:
        # The charger gives its volts where its limit allows, and its limit where not.
        found = with_charger(1.0 / _CHARGER_OHM, charger.volts_v / _CHARGER_OHM)
        if (charger.volts_v - found.terminal_v) / _CHARGER_OHM > charger.limit_a:
            found = with_charger(0.0, charger.limit_a)
    return found
