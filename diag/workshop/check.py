"""A unit whose numbers cannot be: parts that do not fit each other."""

from __future__ import annotations

from diag.model.frozen import frozen
from diag.workshop.heater import Heater
from diag.workshop.laws.plug import resistance_ohm

_SHORT_OHM = 0.05
_GLOWING_C = 900.0


@frozen
class Misfit:
    """Hold a quantity that does not fit the rest of a unit, and the sentence that says why."""

    quantity: str
    sentence: str

    def __str__(self) -> str:
        return self.sentence


def mistakes_of(heater: Heater) -> list[Misfit]:
    """Give each thing about a unit that cannot be.

    >>> mistakes_of(small)
    []
    """
    found = []
    plug_ohm = resistance_ohm(heater.glow_plug, _GLOWING_C)
    amps = heater.battery.nominal_v / max(plug_ohm, 1e-3)
    rating = heater.fuse.rating_a
    if amps > rating and heater.glow_plug.cold_resistance_ohm > _SHORT_OHM:
        sentence = (
            f"the glow plug draws {amps:.3g} A when hot through a fuse of {rating:g} A: expected "
            "a fuse that bears it"
        )
        found.append(Misfit("fuse rating", sentence))
    if heater.control_unit.low_volts_v >= heater.battery.nominal_v:
        sentence = (
            f"`control unit low volts` is {heater.control_unit.low_volts_v:g} V: expected less "
            f"than the battery's {heater.battery.nominal_v:g} V"
        )
        found.append(Misfit("control unit low volts", sentence))
    return found
