"""The supply while the heater ignites: where its volts go, and the battery's load line."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError
from diag.physics.supply.battery import LoadPoint, TheveninSource, source_from_loads

AT_REST = "volts at rest"
AT_TERMINALS = "volts at the terminals while igniting"
AT_HEATER = "volts at the heater while igniting"
AMPS = "amps while igniting"
CUT_OFF = "unit low-voltage cut-off"
PATH = (AT_REST, AT_TERMINALS, AT_HEATER)
LINE = (AT_REST, AT_TERMINALS, AMPS)


@frozen
class SupplyDrops:
    """What is lost between the battery at rest and the heater while it ignites, in volts."""

    rest_v: float
    terminals_v: float
    heater_v: float

    @property
    def in_the_battery_v(self) -> float:
        """Return what the battery itself gives less than at rest."""
        return self.rest_v - self.terminals_v

    @property
    def in_the_cables_v(self) -> float:
        """Return what is lost there and back, with all joints."""
        return self.terminals_v - self.heater_v


def supply_drops(numbers: Mapping[str, float]) -> SupplyDrops | None:
    """Return the drops along the supply; None where one of `PATH` was not read."""
    if not numbers.keys() >= {*PATH}:
        return None
    return SupplyDrops(*(numbers[name] for name in PATH))


@frozen
class SessionLoadLine:
    """A battery's line through its reading at rest and the one under load, with what hangs on it.

    `load_a` and `load_v` are the reading under load (A, V), `heater_v` what came through the cables
    then (V), `cut_off_v` where the heater stops itself (V); the last two may not be known.
    """

    source: TheveninSource
    load_a: float
    load_v: float
    heater_v: float | None
    cut_off_v: float | None


def load_line_of(numbers: Mapping[str, float]) -> SessionLoadLine | None:
    """Return the load line; None where one of `LINE` was not read, or they make no line."""
    if not numbers.keys() >= {*LINE}:
        return None
    rest_v, load_v, load_a = (numbers[name] for name in LINE)
    try:
        source = source_from_loads((LoadPoint(0.0, rest_v), LoadPoint(load_a, load_v)))
    except PhysicsError:  # volts that do not fall are no line to draw; the session names the slip
        return None
    return SessionLoadLine(source, load_a, load_v, numbers.get(AT_HEATER), numbers.get(CUT_OFF))
