"""A unit whose numbers cannot be: parts that do not fit each other."""

from __future__ import annotations

from diag.workshop.heater import Heater
from diag.workshop.laws.plug import resistance_ohm

_SHORT_OHM = 0.05
_GLOWING_C = 900.0


def mistakes_of(heater: Heater) -> list[str]:
    """Give a sentence for each thing about a unit that cannot be.

    >>> from diag.workshop.draw import heater_of
    >>> mistakes_of(heater_of())
    []
    """
    found = []
    plug_ohm = resistance_ohm(heater.glow_plug, _GLOWING_C)
    amps = heater.battery.nominal_v / max(plug_ohm, 1e-3)
    rating = heater.fuse.rating_a
    if amps > rating and heater.glow_plug.cold_resistance_ohm > _SHORT_OHM:
        found.append(
            f"the glow plug draws {amps:.3g} A when hot through a fuse of {rating:g} A: expected "
            "a fuse that bears it"
        )
    if heater.control_unit.low_volts_v >= heater.battery.nominal_v:
        found.append(
            f"`control unit low volts` is {heater.control_unit.low_volts_v:g} V: expected less "
            f"than the battery's {heater.battery.nominal_v:g} V"
        )
    return found
