"""What is seen of a unit by an act, and the readings that are named in data files."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import nan
from types import MappingProxyType

from diag.workshop.control.states import LIMITS
from diag.workshop.heater import Heater
from diag.workshop.laws import battery as cells
from diag.workshop.laws import fuel_line
from diag.workshop.laws import plug as plugs
from diag.workshop.run.moment import Moment
from diag.workshop.run.trace import Trace
from diag.workshop.run.world import WorldEvent

_PANEL_MOST_OHM = 1000.0
_AMPS_PER_MM2 = 9.0  # what a short cable carries: memory
_FED_OHM = 100.0


@dataclass(frozen=True, slots=True)
class Seen:
    """Hold what an act let be seen: the unit as it was then, a new one of its class, the run.

    `amounts` are what the act itself gave, by name.
    """

    heater: Heater
    new: Heater
    trace: Trace
    events: Sequence[WorldEvent] = ()
    amounts: Mapping[str, float] = field(default_factory=dict)

    def count(self, what: str) -> float:
        """Count how often something happened."""
        return float(sum(event.what == what for event in self.events))

    def seconds(self, holds: Callable[[Moment], bool]) -> float:
        """Give for how long (s) something held."""
        moments = self.trace.moments
        step_s = moments[1].at_s - moments[0].at_s if len(moments) > 1 else 0.0
        return step_s * sum(map(holds, moments))


@dataclass(frozen=True, slots=True)
class SeenReading:
    """Hold a reading that follows from what was seen: its unit and how; None where it is none."""

    unit: str
    of: Callable[[Seen], float | None]


def _amount(name: str) -> Callable[[Seen], float | None]:
    return lambda seen: seen.amounts.get(name)


def worst_joint_w(seen: Seen) -> float:
    """Give the heat (W) in the worst joint of the supply while the plug is on."""
    heater = seen.heater
    joints = (
        heater.positive_joint.resistance_ohm,
        heater.negative_joint.resistance_ohm,
        heater.fuse.holder_ohm,
        heater.supply_connector.positive_pin_ohm,
        heater.supply_connector.negative_pin_ohm,
    )
    new_ohm = plugs.resistance_ohm(seen.new.glow_plug, 900.0)
    volts = heater.battery.nominal_v
    return max(ohm * (volts / (new_ohm + 0.05 + ohm)) ** 2 for ohm in joints)


def flashes(seen: Seen) -> float:
    """Give the flashes that the panel shows now; none while it tries or burns."""
    if not seen.trace.moments:
        return seen.heater.control_unit.code
    last = seen.trace.moments[-1]
    return float(last.code) if last.phase in ("fault cool-down", "fault", "off") else 0.0


def panel_lit(seen: Seen) -> float:
    """Say (1 or 0) whether the panel is lit: fed, whole, its cable whole and the unit alive."""
    heater = seen.heater
    volts = seen.trace.last("volts at the unit")
    fed = volts is not None and volts > LIMITS.wakes_share * heater.control_unit.low_volts_v
    whole = heater.panel.dead < 0.5 and heater.panel.wire_ohm < _PANEL_MOST_OHM
    return float(fed and whole and heater.control_unit.overheated < 0.5)


def lit_at_the_end(seen: Seen) -> float:
    """Say (1 or 0) whether a flame stands at the end, outside a try."""
    moments = seen.trace.moments
    return float(bool(moments) and moments[-1].flame and moments[-1].phase not in ("fuel", "purge"))


def _pump_fed(seen: Seen) -> float:
    heater = seen.heater
    ohm = heater.control_unit.pump_driver_ohm + heater.pump_connector.resistance_ohm
    return float((seen.trace.highest("pump rate") or 0.0) > 0.0 and ohm < _FED_OHM)


def _fan_fed(seen: Seen) -> float:
    started = "fan run-up" in seen.trace.phases
    return float(started and seen.heater.control_unit.fan_driver_ohm < _FED_OHM)


def _fades(seen: Seen) -> float:
    """Say whether a flame that was there is gone before its fuel is stopped."""
    lit = False
    for before, now in pairwise(seen.trace):
        lit = lit or before.flame
        if lit and now.phase == "purge" and before.phase != "purge" and not before.flame:
            return 1.0
    return 0.0


def _panel_v(seen: Seen) -> float | None:
    volts = seen.trace.last("volts at the unit")
    broken = seen.heater.panel.wire_ohm > 1e5
    return 0.0 if broken or seen.heater.control_unit.overheated > 0.5 else volts


def _stood_v(seen: Seen) -> float:
    """Give the volts after a night alone, charged full: worn plates lose charge (memory)."""
    battery = seen.heater.battery
    kept = 1.0 - 0.3 * max(0.0, 0.6 - battery.health)
    full = type(battery)(
        battery.kind, battery.nominal_v, battery.capacity_ah, kept, battery.health,
        battery.resistance_ohm, battery.temperature_c,
    )  # fmt: skip
    return cells.rest_v(full)


def _tip_c(seen: Seen) -> float:
    """Give where the plug's temperature (C) settles on its nominal volts through a test lead."""
    return plugs.settled_c(seen.heater.glow_plug, seen.heater.battery.nominal_v, 0.05)


def _other_voltage(seen: Seen) -> float:
    ratio = seen.heater.glow_plug.cold_resistance_ohm / seen.new.glow_plug.cold_resistance_ohm
    return float(3.0 < ratio < 10.0 or 0.1 < ratio < 1.0 / 3.0)


def _other_dose(seen: Seen) -> float:
    ratio = seen.heater.pump.dose_ml_per_100 / seen.new.pump.dose_ml_per_100
    return float(not 0.85 < ratio < 1.15)


def _flue_block(seen: Seen) -> float:
    heater = seen.heater
    return max(heater.intake.blockage, heater.exhaust.blockage, 0.8 * heater.burner.carbon)


def into_cabin(heater: Heater) -> float:
    """Give the share of the exhaust gas that finds its way indoors."""
    leaked = heater.exhaust.leak * heater.exhaust.into_cabin
    return leaked + 0.3 * heater.exchanger.crack + 0.2 * heater.gasket.leak


FACTS: Mapping[str, SeenReading] = MappingProxyType(
    {
        "nothing": SeenReading("ppm", lambda s: 0.0),
        "heater volts at rest": SeenReading("V", lambda s: s.trace.last("volts at the unit")),
        "panel volts": SeenReading("V", _panel_v),
        "charger volts": SeenReading("V", lambda s: s.heater.charger.volts_v),
        "volts after a night disconnected": SeenReading("V", _stood_v),
        "watts in the worst joint": SeenReading("1", worst_joint_w),
        "amps of the fuse over those of the cable": SeenReading(
            "1", lambda s: s.heater.fuse.rating_a / _AMPS_PER_MM2 / s.heater.positive_cable.area_mm2
        ),
        "ice in the battery": SeenReading("1", lambda s: float(cells.frozen(s.heater.battery))),
        "wax in the filter": SeenReading("1", lambda s: fuel_line.waxed(s.heater.fuel)),
        "pickup above the fuel": SeenReading("1", lambda s: float(fuel_line.draws_air(s.heater))),
        "fuel pumped": SeenReading("ml", _amount("fuel pumped")),
        "plug tip on a test lead": SeenReading("1", _tip_c),
        "glow plug of another voltage": SeenReading("1", _other_voltage),
        "dose of another pump": SeenReading("1", _other_dose),
        "pump fed": SeenReading("1", _pump_fed),
        "fan fed": SeenReading("1", _fan_fed),
        "flashes shown": SeenReading("1", flashes),
        "panel lit": SeenReading("1", panel_lit),
        "panel lit there and not before": SeenReading("1", _amount("panel lit there")),
        "flame at the end": SeenReading("1", lit_at_the_end),
        "times lit": SeenReading("1", lambda s: s.count("the flame lights")),
        "goes out by itself": SeenReading("1", _fades),
        "better than before": SeenReading("1", _amount("better than before")),
        "clean starts": SeenReading("1", _amount("clean starts")),
        "bangs": SeenReading("1", _amount("bangs")),
        "seconds of dark smoke": SeenReading(
            "1", lambda s: s.seconds(lambda m: m.smoke == "dark")
        ),
        "seconds of white smoke": SeenReading(
            "1", lambda s: s.seconds(lambda m: m.smoke == "white")
        ),
        "seconds of vapour": SeenReading(
            "1", lambda s: s.seconds(lambda m: m.white_smoke_ml_per_s > 0.0008 or m.flame)
        ),
        "seconds of cool-down": SeenReading(
            "1", lambda s: s.seconds(lambda m: m.phase == "cool-down")
        ),
        "worst block of the flue": SeenReading("1", _flue_block),
        "exhaust gas into the cabin": SeenReading("1", lambda s: into_cabin(s.heater)),
        "carbon monoxide in the cabin so far": SeenReading("1", _amount("cabin monoxide")),
        "room as its sensor feels it": SeenReading(
            "C", lambda s: s.heater.cabin.temperature_c + s.heater.room_sensor.offset_k
        ),
    }
)  # fmt: skip
"""What follows from all that an act let be seen, by the name that data files use."""

MORE_CHANNELS: Mapping[str, tuple[str, Callable[[Moment, Heater], float]]] = MappingProxyType(
    {
        "amps before it lights": ("A", lambda m, h: nan if m.flame else m.amps),
        "amps at half power": ("A", lambda m, h: m.amps if 1.7 <= m.pump_hz <= 2.5 else nan),
        "outlet carbon monoxide": (
            "ppm",
            lambda m, h: (
                m.cabin_co_ppm
                + m.co_ppm
                * (0.3 * h.exchanger.crack + 0.2 * h.gasket.leak)
                * h.exchanger.design_gas_kg_per_h
                / h.exchanger.design_air_kg_per_h
            ),
        ),
        "joint carbon monoxide": (
            "ppm",
            lambda m, h: m.co_ppm * min(0.2, h.exhaust.leak) + m.cabin_co_ppm,
        ),
    }
)
"""Channels that need the unit beside the moment, `nan` where there is nothing to read."""
