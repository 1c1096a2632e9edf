"""The heat in the warm air against the heat in the fuel that was pumped for it."""

from __future__ import annotations

from collections.abc import Mapping

from diag.model.frozen import frozen

IN_FUEL, IN_AIR = "heat in the fuel", "heat in the air"
BALANCE = (IN_FUEL, IN_AIR)


@frozen
class HeatBalance:
    """The heat (W) in the fuel pumped and in the air warmed."""

    fuel_w: float
    air_w: float

    @property
    def lost_w(self) -> float:
        """Return what did not reach the air; negative where more reached it than there was."""
        return self.fuel_w - self.air_w

    @property
    def percent(self) -> float:
        """Return the heat in the air as a share (%) of that in the fuel; 0 without fuel."""
        return 100.0 * self.air_w / self.fuel_w if self.fuel_w > 0.0 else 0.0


def heat_balance(numbers: Mapping[str, float]) -> HeatBalance | None:
    """Return both sides of the balance; None where one of them is not known."""
    if not numbers.keys() >= {*BALANCE}:
        return None
    return HeatBalance(*(numbers[name] for name in BALANCE))
