"""A run as it was seen: moments in order, asked by phase and by what is read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from diag.workshop.amount import WorkshopError
from diag.workshop.control.states import PHASES
from diag.workshop.laws.supply import NODES
from diag.workshop.run.moment import Moment

MomentReading = Callable[[Moment], float]

CHANNELS: dict[str, tuple[str, MomentReading]] = {
    "amps": ("A", lambda m: m.amps),
    "battery amps": ("A", lambda m: m.supply.battery_a),
    "volts at the battery": ("V", lambda m: m.supply.terminal_v),
    "volts at the unit": ("V", lambda m: m.unit_v),
    "plug amps": ("A", lambda m: m.plug_a),
    "plug volts": ("V", lambda m: m.plug_v),
    "plug temperature": ("C", lambda m: m.plug_c),
    "pump rate": ("Hz", lambda m: m.pump_hz),
    "pump volts": ("V", lambda m: m.pump_v),
    "fuel flow": ("ml/s", lambda m: m.fuel_ml_per_s),
    "bubbles": ("1", lambda m: m.bubbles),
    "suction": ("kPa", lambda m: m.suction_kpa),
    "fan speed": ("1", lambda m: m.fan_share),
    "body temperature": ("C", lambda m: m.body_c),
    "outlet temperature": ("C", lambda m: m.outlet_c),
    "outlet air speed": ("m/s", lambda m: m.outlet_m_per_s),
    "inlet temperature": ("C", lambda m: m.inlet_c),
    "exhaust temperature": ("C", lambda m: m.exhaust_c),
    "flame": ("1", lambda m: float(m.flame)),
    "air ratio": ("1", lambda m: m.air_ratio),
    "oxygen": ("%", lambda m: m.o2_percent),
    "carbon dioxide": ("%", lambda m: m.co2_percent),
    "carbon monoxide": ("ppm", lambda m: m.co_ppm),
    "smoke spot": ("1", lambda m: m.smoke_spot),
    "white smoke": ("ml/s", lambda m: m.white_smoke_ml_per_s),
    "heat": ("W", lambda m: m.heat_w),
    "pooled fuel": ("ml", lambda m: m.pool_ml),
    "cabin temperature": ("C", lambda m: m.cabin_c),
    "cabin carbon monoxide": ("ppm", lambda m: m.cabin_co_ppm),
    "flame sensor": ("ohm", lambda m: m.flame_sensor_ohm),
    "overheat sensor": ("ohm", lambda m: m.overheat_sensor_ohm),
    "room sensor": ("ohm", lambda m: m.room_sensor_ohm),
    "flashes": ("1", lambda m: float(m.code)),
    "pump ticks": ("1", lambda m: float(m.pump_ticks)),
}
"""What can be read at a moment: the unit and how."""


def reading_of(channel: str) -> MomentReading:
    """Give how a channel is read, or the volts between two nodes written `volts: A to B`.

    Raises `WorkshopError` for a name that there is not.

    >>> reading_of("smoke")
    Traceback (most recent call last):
    diag.workshop.amount.WorkshopError: nothing is read as `smoke`: expected a channel or `volts: \
node to node`
    """
    if channel in CHANNELS:
        return CHANNELS[channel][1]
    if channel.startswith("volts: "):
        first, _, second = channel.removeprefix("volts: ").partition(" to ")
        for node in (first, second):
            if node not in NODES:
                raise WorkshopError(
                    f"`{node}` is no place for a meter: expected one of {', '.join(NODES)}"
                )
        return lambda moment: moment.volts_between(first, second)
    raise WorkshopError(
        f"nothing is read as `{channel}`: expected a channel or `volts: node to node`"
    )


@dataclass(frozen=True, slots=True)
class Trace:
    """Hold the moments of a run in order, all or those of a phase."""

    moments: Sequence[Moment]

    def __iter__(self) -> Iterator[Moment]:
        return iter(self.moments)

    def __len__(self) -> int:
        return len(self.moments)

    @property
    def phases(self) -> tuple[str, ...]:
        """Give the phases in the order in which they were entered, again where entered again."""
        seen: list[str] = []
        for moment in self.moments:
            if not seen or seen[-1] != moment.phase:
                seen.append(moment.phase)
        return tuple(seen)

    def during(self, *phases: str) -> Trace:
        """Give the moments of some phases; raises `WorkshopError` for a phase that is none."""
        for phase in phases:
            if phase not in PHASES:
                raise WorkshopError(
                    f"there is no phase `{phase}`: expected one of {', '.join(PHASES)}"
                )
        return Trace([moment for moment in self.moments if moment.phase in phases])

    def between(self, start_s: float, end_s: float) -> Trace:
        """Give the moments from one time (s) up to another."""
        return Trace([moment for moment in self.moments if start_s <= moment.at_s < end_s])

    def settled(self, skipped_s: float) -> Trace:
        """Give the moments without the first seconds, in which a reading is not taken yet."""
        if not self.moments:
            return self
        return self.between(self.moments[0].at_s + skipped_s, float("inf"))

    def values(self, channel: str) -> list[float]:
        """Give a channel's values in order."""
        read = reading_of(channel)
        return [read(moment) for moment in self.moments]

    def lowest(self, channel: str) -> float | None:
        """Give the least value, None where the phase was never reached."""
        return min(self.values(channel), default=None)

    def highest(self, channel: str) -> float | None:
        """Give the greatest value, None where the phase was never reached."""
        return max(self.values(channel), default=None)

    def typical(self, channel: str) -> float | None:
        """Give the median, None where the phase was never reached."""
        values = self.values(channel)
        return median(values) if values else None

    def last(self, channel: str) -> float | None:
        """Give the last value, None where the phase was never reached."""
        return reading_of(channel)(self.moments[-1]) if self.moments else None
