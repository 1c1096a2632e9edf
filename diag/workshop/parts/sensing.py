"""What feels and thinks: sensors, panel, control unit."""

from typing import Annotated

from diag.model.frozen import frozen
from diag.workshop.amount import Amount, Celsius, Kelvin, Ohm, Seconds, Share, Volts, WordKind

Element = Annotated[str, WordKind(("platinum", "thermistor"))]


@frozen
class Sensor:
    """A temperature sensor: its element, its error, and what its wire adds."""

    element: Element
    offset_k: Kelvin
    wire_ohm: Ohm
    shorted: Share
    off_its_seat: Share


@frozen
class FlameSensor(Sensor):
    """Feels the gas behind the exchanger."""


@frozen
class OverheatSensor(Sensor):
    """Feels the body where the warm air leaves."""


@frozen
class RoomSensor(Sensor):
    """Feels the cabin air."""


@frozen
class Panel:
    """The panel and its wire; `set_to` is the room temperature asked for."""

    wire_ohm: Ohm
    dead: Share
    set_to_c: Celsius


@frozen
class ControlUnit:
    """The control unit: what it draws, what its drivers lose, its limits and its memory."""

    standby_a: Annotated[float, Amount("A", 0.0, 10.0)]
    awake_a: Annotated[float, Amount("A", 0.0, 10.0)]
    plug_driver_ohm: Ohm
    pump_driver_ohm: Ohm
    fan_driver_ohm: Ohm
    low_volts_v: Volts
    high_volts_v: Volts
    low_volts_wait_s: Seconds
    fan_full_v: Volts
    """What it gives the fan for full speed."""
    pump_setting: Annotated[float, Amount("1", 0.2, 3.0)]
    """Pulse rate against the right one."""
    failed_starts: Annotated[float, Amount("1", 0.0, 99.0)]
    locked: Share
    overheated: Share
    """1 once it was cooked: it does nothing any more."""
    water: Share
    """1 is a wet board: it wakes and resets as it likes."""
    code: Annotated[float, Amount("1", 0.0, 99.0)]
