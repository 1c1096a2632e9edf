"""Units side by side for the same heat: fuel, current and noise."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, above, between
from diag.physics.heat.balance import MAX_HEAT_KW
from diag.physics.interpolation import along

Manner = Literal["steady", "on and off", "flat out"]


@frozen
class Level:
    """Hold one level of a unit: heat (kW), fuel (l/h), current (A), noise (dB) if known."""

    heat_kw: float
    fuel_l_per_h: float
    current_a: float
    noise_db: float | None = None


@frozen
class Delivery:
    """Hold how a unit delivers a heat: kW given, share of the time, mean l/h and A, noise.

    `manner` is flat out when the unit cannot give what was asked; noise is while running.
    """

    name: str
    manner: Manner
    heat_kw: float
    running_share: float
    fuel_l_per_h: float
    current_a: float
    noise_db: float | None

    @property
    def fuel_l_per_kwh(self) -> float:
        """Give the fuel for each kWh of heat in l.

        >>> Delivery("LIB-03", "steady", 2.0, 1.0, 0.3, 1.5, None).fuel_l_per_kwh
        0.15
        """
        return self.fuel_l_per_h / self.heat_kw

    @property
    def charge_ah_per_kwh(self) -> float:
        """Give the battery charge for each kWh of heat in Ah.

        >>> Delivery("LIB-03", "steady", 2.0, 1.0, 0.3, 1.5, None).charge_ah_per_kwh
        0.75
        """
        return self.current_a / self.heat_kw


def _checked(levels: Sequence[Level]) -> list[Level]:
    if not levels:
        raise PhysicsError("`levels` is empty: expected at least one level with heat in kW")
    for level in levels:
        above("heat of a level", level.heat_kw, "kW", most=MAX_HEAT_KW)
        above("fuel of a level", level.fuel_l_per_h, "l/h", most=20.0)
        between("current of a level", level.current_a, "A", least=0.0, most=200.0)
    ordered = sorted(levels, key=lambda level: level.heat_kw)
    for low, high in pairwise(ordered):
        if low.heat_kw == high.heat_kw:
            raise PhysicsError(
                f"`heat of a level` is {low.heat_kw:g} kW twice: expected different levels"
            )
    return ordered


def delivery(name: str, levels: Sequence[Level], wanted_kw: float) -> Delivery:
    """Give how a unit with these levels delivers a wanted heat (kW).

    Between levels along a straight line; below the lowest by switching on and off (starts not
    counted); above the highest flat out and short of it. Source: interpolation of measured
    levels. Raises `PhysicsError` for heat of 0 kW or less.

    >>> big = (Level(2.0, 0.27, 1.5), Level(5.0, 0.65, 4.0))
    >>> delivery("ROAD-07", big, 2.0).current_a
    1.5
    >>> delivery("ROAD-07", big, 1.0).running_share
    0.5
    """
    above("wanted heat", wanted_kw, "kW", most=MAX_HEAT_KW)
    ordered = _checked(levels)
    lowest, highest = ordered[0], ordered[-1]
    given_kw = min(wanted_kw, highest.heat_kw)
    share = min(1.0, wanted_kw / lowest.heat_kw)
    manner: Manner = "steady"
    if share < 1.0:
        manner = "on and off"
    elif wanted_kw >= highest.heat_kw:
        manner = "flat out"
    running_kw = max(given_kw, lowest.heat_kw)
    noises = [(level.heat_kw, level.noise_db) for level in ordered if level.noise_db is not None]
    return Delivery(
        name=name,
        manner=manner,
        heat_kw=given_kw,
        running_share=share,
        fuel_l_per_h=share * along([(v.heat_kw, v.fuel_l_per_h) for v in ordered], running_kw),
        current_a=share * along([(v.heat_kw, v.current_a) for v in ordered], running_kw),
        noise_db=along(noises, running_kw) if len(noises) == len(ordered) else None,
    )
