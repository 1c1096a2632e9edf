"""The heat in the warm air against the heat in the fuel that was pumped for it."""

from __future__ import annotations

from statistics import fmean

from diag.bench.pictures.heat import HeatBalance
from diag.physics.combustion.fuel import density_kg_per_m3, fuel_power_kw
from diag.practice.pictures.bars import BarRow, bars
from diag.workshop import Trace, WorkshopError
from diag.workshop.parts.fuel import FuelPart

STEADY_S = 60.0


def heat_share(trace: Trace, fuel: FuelPart) -> HeatBalance:
    """Return the shares over the last minute of full power; without it, of any burning.

    The sum is net heat times flow (`fuel_power_kw`), the water in the fuel taken off. Raises
    `WorkshopError` for a run that never burnt.
    """
    burning = trace.during("full") if "full" in trace.phases else trace.during("ramp", "low")
    if not len(burning):
        raise WorkshopError("it never burnt steadily in this run: there is no heat to weigh")
    steady = burning.between(burning.moments[-1].at_s - STEADY_S, float("inf"))
    l_per_h = fmean(steady.values("fuel flow")) * 3.6
    density = density_kg_per_m3(fuel.density_15c_kg_per_m3, fuel.temperature_c)
    fuel_w = 1000.0 * fuel_power_kw(l_per_h, density, fuel.net_heat_mj_per_kg)
    return HeatBalance(fuel_w * (1.0 - fuel.water), fmean(steady.values("heat")))


def heat_rows(share: HeatBalance, width: int) -> tuple[str, ...]:
    """Draw both as bars, and what is lost between them."""
    rows = [
        BarRow("in the fuel", f"{share.fuel_w:.0f} W", share.fuel_w),
        BarRow("in the air", f"{share.air_w:.0f} W", share.air_w),
        BarRow("lost", f"{share.lost_w:.0f} W", share.lost_w),
    ]
    return bars(rows, width)


def heat_words(share: HeatBalance, sound: HeatBalance) -> str:
    """Say the same in sentences, beside what the same heater does without its fault."""
    return (
        f"Of {share.fuel_w:.0f} W in the fuel {share.air_w:.0f} W reach the air, "
        f"{share.percent:.0f} %; {share.lost_w:.0f} W do not. Without its fault this heater brings "
        f"{sound.percent:.0f} % there."
    )
