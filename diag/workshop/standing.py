"""What is measured of parts that stand still or lie on the bench, as it truly is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import exp
from types import MappingProxyType

from diag.workshop.amount import OPEN_OHM, WorkshopError
from diag.workshop.heater import Heater
from diag.workshop.laws import battery as cells
from diag.workshop.laws import fuel_line
from diag.workshop.laws.curves import sensor_ohm
from diag.workshop.laws.plug import resistance_ohm as plug_ohm
from diag.workshop.laws.supply import cable_ohm


@dataclass(frozen=True, slots=True)
class AtRest:
    """Hold a reading of a part that stands still: its unit, and how it follows from the parts."""

    unit: str
    of: Callable[[Heater], float]


def _standby_a(heater: Heater) -> float:
    """Give what the unit draws when off, through whatever is left of its supply."""
    if heater.fuse.blown > 0.5 or heater.isolator.shut < 0.5:
        return 0.0
    return heater.control_unit.standby_a


STANDING: Mapping[str, AtRest] = MappingProxyType(
    {
        "battery volts at rest": AtRest("V", lambda h: cells.rest_v(h.battery)),
        "battery resistance": AtRest("ohm", lambda h: cells.resistance_ohm(h.battery)),
        "standby amps": AtRest("A", _standby_a),
        "all drain amps": AtRest(
            "A", lambda h: _standby_a(h) + h.other_loads.drain_a + h.other_loads.load_a
        ),
        "positive cable resistance": AtRest("ohm", lambda h: cable_ohm(h.positive_cable)),
        "negative cable resistance": AtRest("ohm", lambda h: cable_ohm(h.negative_cable)),
        "fuse resistance": AtRest(
            "ohm", lambda h: OPEN_OHM if h.fuse.blown > 0.5 else h.fuse.holder_ohm
        ),
        "plug resistance": AtRest("ohm", lambda h: plug_ohm(h.glow_plug, _around_c(h))),
        "plug resistance through its wire": AtRest(
            "ohm",
            lambda h: (
                plug_ohm(h.glow_plug, _around_c(h))
                + h.plug_wire.resistance_ohm
                + h.plug_connector.resistance_ohm
            ),
        ),
        "pump coil resistance": AtRest("ohm", lambda h: h.pump.coil_resistance_ohm),
        "pump resistance through its wire": AtRest(
            "ohm", lambda h: h.pump.coil_resistance_ohm + h.pump_connector.resistance_ohm
        ),
        "flame sensor resistance": AtRest(
            "ohm", lambda h: sensor_ohm(h.flame_sensor, _around_c(h))
        ),
        "overheat sensor resistance": AtRest(
            "ohm", lambda h: sensor_ohm(h.overheat_sensor, _around_c(h))
        ),
        "room sensor resistance": AtRest("ohm", lambda h: sensor_ohm(h.room_sensor, _around_c(h))),
        "panel wire resistance": AtRest("ohm", lambda h: h.panel.wire_ohm),
        "fuel in the tank": AtRest("l", lambda h: h.tank.level_l),
        "suction": AtRest("kPa", lambda h: fuel_line.suction_kpa(h, 0.0, 0.0)),
    }
)
"""What can be read of a unit that is off, cold and at rest: its unit and its true value."""


def _around_c(heater: Heater) -> float:
    return heater.cabin.temperature_c


def standing(heater: Heater, name: str) -> float:
    """Give a reading of a unit at rest; raises `WorkshopError` for a name that there is not.

    >>> standing(small, "pump coil resistance")
    10.0
    """
    if name not in STANDING:
        raise WorkshopError(f"nothing is read as `{name}`: expected one of {', '.join(STANDING)}")
    return STANDING[name].of(heater)


@dataclass(frozen=True, slots=True)
class LoadTested:
    """Hold a battery's load test: volts before and at its end, and the battery afterwards."""

    rest_v: float
    loaded_v: float
    after: Heater


def load_test(heater: Heater, amps: float, seconds: float) -> LoadTested:
    """Load the battery's terminals with a current (A) for a time (s); it costs charge.

    Raises `WorkshopError` for a current or time of 0 or less.
    """
    if amps <= 0.0 or seconds <= 0.0:
        raise WorkshopError(f"the load is {amps:g} A for {seconds:g} s: expected both above 0")
    battery = heater.battery
    rest_v = cells.rest_v(battery)
    used = amps * seconds / 3600.0 / cells.usable_ah(battery)
    spent = replace(battery, charge=max(0.0, battery.charge - used))
    slow_v = amps * cells.polarisation_ohm(battery) * (1.0 - exp(-seconds / cells.POLARISATION_S))
    loaded_v = cells.rest_v(spent) - amps * cells.resistance_ohm(battery) - slow_v
    return LoadTested(rest_v, max(0.0, loaded_v), replace(heater, battery=spent))


def pumped_ml(
    heater: Heater, pulses: int, rate_hz: float = 2.0, line_ml: float | None = None
) -> float:
    """Give the fuel (ml) that pulses at a rate (Hz) bring into a measuring cylinder.

    The pump runs in its place on full volts, its delivery hose let into the cylinder; `line_ml`
    is what the suction side still holds, full if left out.
    """
    coil = heater.pump.coil_resistance_ohm
    wire = heater.pump_connector.resistance_ohm + heater.control_unit.pump_driver_ohm
    volts = cells.rest_v(heater.battery) * coil / (coil + wire)
    left_ml, total_ml = fuel_line.line_ml(heater) if line_ml is None else line_ml, 0.0
    for count in range(pulses):
        dose = fuel_line.stroke_of(heater, rate_hz, volts, 0.0, count / rate_hz).dose_ml
        if fuel_line.draws_air(heater):
            dose = min(dose, left_ml)
            left_ml -= dose
        total_ml += dose * (1.0 - heater.delivery_hose.leak)
    return total_ml
