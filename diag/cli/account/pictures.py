"""Where the volts go between battery and heater, as bars, once the readings are there."""

from __future__ import annotations

from diag.model.quantity import Quantity
from diag.practice.pictures.bars import BarRow, bars
from diag.session.state import SessionState

AT_REST = "volts at rest"
AT_TERMINALS = "volts at the terminals while igniting"
AT_HEATER = "volts at the heater while igniting"


def supply_drops(state: SessionState, width: int) -> tuple[str, ...]:
    """Return the losses along the supply while it ignites, in rows of at most `width` cells.

    Between what the meter showed at rest, at the terminals and at the heater, in volts of this
    stage; empty where one of these was not read or is over range.
    """
    volts = [_volts(state, name) for name in (AT_REST, AT_TERMINALS, AT_HEATER)]
    rest, terminals, heater = volts
    if rest is None or terminals is None or heater is None:
        return ()
    rows = (
        BarRow("battery at rest", f"{rest:.2f} V"),
        BarRow("- lost in the battery", f"{rest - terminals:.2f} V", rest - terminals),
        BarRow("= at its terminals", f"{terminals:.2f} V"),
        BarRow("- lost in the cables", f"{terminals - heater:.2f} V", terminals - heater),
        BarRow("= at the heater", f"{heater:.2f} V"),
    )
    return bars(rows, width)


def _volts(state: SessionState, name: str) -> float | None:
    value = state.now.told.get(name)
    return value.si if isinstance(value, Quantity) and not value.over_range else None
