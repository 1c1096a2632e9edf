"""Heat out against fuel in: efficiency, claims that cannot be true, electricity."""

from typing import Literal

from diag.model.frozen import frozen
from diag.physics.combustion.fuel import FuelName, pump_power_kw
from diag.physics.errors import above, between

MAX_HEAT_KW = 200.0

ClaimStanding = Literal["possible", "doubtful", "impossible"]


@frozen
class Claim:
    """Hold a claimed heat against the fuel that feeds it.

    Fuel heat in kW, efficiency in percent, and the pulse rate (Hz) or dose (ml) that it would
    take at `at_percent` efficiency with the other as given.
    """

    standing: ClaimStanding
    fuel_kw: float
    efficiency_percent: float
    at_percent: float
    rate_needed_hz: float
    dose_needed_ml: float


def efficiency_percent(heat_kw: float, fuel_kw: float) -> float:
    """Give the efficiency (%) of heat out (kW) over fuel in (kW), by net heat.

    A result above 100 % is given as it stands: `judge_claim` judges it. Source: energy balance.
    Raises `PhysicsError` for fuel of 0 kW or negative heat.

    >>> round(efficiency_percent(2.36, 3.58), 1)
    65.9
    """
    between("heat out", heat_kw, "kW", least=0.0, most=MAX_HEAT_KW)
    above("fuel power", fuel_kw, "kW", most=MAX_HEAT_KW)
    return 100 * heat_kw / fuel_kw


def judge_claim(
    heat_kw: float,
    rate_hz: float,
    dose_ml: float,
    name: FuelName = "diesel",
    fuel_c: float = 15.0,
    *,
    at_percent: float = 100.0,
    doubtful_above_percent: float = 100.0,
) -> Claim:
    """Judge a claimed heat (kW) by pulse rate (Hz), dose (ml), fuel and its temperature (C).

    More heat than the fuel holds is impossible; the rate or dose that it would take is told at
    `at_percent` efficiency. An efficiency above `doubtful_above_percent` is doubtful. Source:
    conservation of energy. Raises `PhysicsError` for values of 0 or less, or an efficiency above
    100 %.

    >>> claim = judge_claim(5.0, 5.0, 0.02)
    >>> claim.standing, round(claim.efficiency_percent), round(claim.rate_needed_hz, 1)
    ('impossible', 140, 7.0)
    """
    above("claimed heat", heat_kw, "kW", most=MAX_HEAT_KW)
    above("efficiency", at_percent, "%", most=100.0)
    fuel_kw = pump_power_kw(rate_hz, dose_ml, name, fuel_c)
    percent = efficiency_percent(heat_kw, fuel_kw)
    standing: ClaimStanding = "possible"
    if percent > 100.0:
        standing = "impossible"
    elif percent > doubtful_above_percent:
        standing = "doubtful"
    more = percent / at_percent
    return Claim(standing, fuel_kw, percent, at_percent, rate_hz * more, dose_ml * more)


def electricity_per_kwh(supply_v: float, current_a: float, heat_kw: float) -> float:
    """Give the electricity (Wh) spent for each kWh of heat, by supply (V), A and heat (kW).

    Source: power over power. Raises `PhysicsError` for heat of 0 kW.

    >>> electricity_per_kwh(12.5, 1.5, 2.0)
    9.375
    """
    above("supply voltage", supply_v, "V", most=60.0)
    between("current", current_a, "A", least=0.0, most=200.0)
    above("heat out", heat_kw, "kW", most=MAX_HEAT_KW)
    return supply_v * current_a / heat_kw
