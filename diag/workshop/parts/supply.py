"""What brings the current: battery, charger, other loads, cables, joints, fuse, isolator."""

from typing import Annotated

from diag.model.frozen import frozen
from diag.workshop.amount import Amount, Amps, Celsius, Metres, Ohm, Share, Volts, WordKind

BatteryKind = Annotated[str, WordKind(("flooded", "AGM", "gel", "LiFePO4"))]


@frozen
class BatteryPart:
    """A battery of 12 V blocks: what it holds, how worn it is and how cold."""

    kind: BatteryKind
    nominal_v: Annotated[float, Amount("V", 6.0, 48.0)]
    capacity_ah: Annotated[float, Amount("Ah", 1.0, 1000.0)]
    charge: Share
    health: Annotated[float, Amount("1", 0.02, 1.0)]
    """Share of the capacity that is left; resistance grows as this falls."""
    resistance_ohm: Ohm
    """Full, at 25 C, when new."""
    temperature_c: Celsius


@frozen
class Charger:
    """A charger or generator at the terminals: its volts and the most it gives; 0 A is none."""

    volts_v: Volts
    limit_a: Amps


@frozen
class OtherLoads:
    """What else the battery feeds while the heater runs, and what drains it all night."""

    load_a: Amps
    drain_a: Amps


@frozen
class Joint:
    """A crimp, a terminal clamp or an earth point."""

    resistance_ohm: Ohm


@frozen
class Cable:
    """One conductor of the supply, with the share of its strands that are broken."""

    length_m: Metres
    area_mm2: Annotated[float, Amount("mm2", 0.5, 35.0)]
    broken_strands: Annotated[float, Amount("1", 0.0, 1.0)]
    temperature_c: Annotated[float, Amount("C", -60.0, 150.0)]


@frozen
class Fuse:
    """A fuse in its holder; `blown` is 0 or 1, `heating` how near it is to blowing."""

    rating_a: Annotated[float, Amount("A", 1.0, 100.0)]
    holder_ohm: Ohm
    blown: Share
    heating: Share


@frozen
class Isolator:
    """A switch or relay in the positive cable; `shut` is 1 when it conducts."""

    contact_ohm: Ohm
    shut: Share


@frozen
class SupplyConnector:
    """The unit's own connector to the supply cable, a pin for each cable."""

    positive_pin_ohm: Ohm
    negative_pin_ohm: Ohm
