"""Which reading is the likeliest slip when a heat balance cannot be believed."""

from collections.abc import Callable
from math import log, sqrt
from types import MappingProxyType
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.combustion.fuel import FuelName, pump_power_kw
from diag.physics.errors import one_of
from diag.physics.heat.air import air_heat_kw, mean_to_centre_ratio
from diag.physics.heat.atmosphere import SEA_LEVEL_PA
from diag.physics.heat.balance import efficiency_percent

SpeedKind = Literal["centre", "mean", "traverse"]
DoseKind = Literal["measured", "memory"]

# How far each reading usually strays when it does (one standard deviation): relative for all
# but the inlet, which is in K. Common practice, no source.
SPEED_STRAYS = 0.05
BORE_STRAYS = 0.05
INLET_STRAYS_K = 10.0
COUNT_STRAYS = 0.06
DOSE_STRAYS = MappingProxyType({"measured": 0.05, "memory": 0.25})
PLACE_MISREAD = 0.5  # taking centre for mean is a frequent slip, counting double a rarer one
COUNTED_DOUBLE = 1.5


@frozen
class HeatReadings:
    """Hold the readings of one heat balance: m/s, mm, C, Pa, Hz and ml.

    `speed_kind` says where the air speed was taken, `dose_kind` how the dose is known.
    """

    speed_m_s: float
    speed_kind: SpeedKind
    bore_mm: float
    inlet_c: float
    outlet_c: float
    rate_hz: float
    dose_ml: float
    dose_kind: DoseKind = "measured"
    fuel: FuelName = "diesel"
    fuel_c: float = 15.0
    pressure_pa: float = SEA_LEVEL_PA


@frozen
class SuspectReading:
    """Hold one suspect: what went wrong, what the reading should have been, how surprising.

    `surprise` is in standard deviations of that reading; the smallest is the likeliest.
    """

    says: str
    would_be: float
    unit: str
    surprise: float


def heat_out_kw(readings: HeatReadings) -> float:
    """Give the heat (kW) in the outlet air, correcting a centre speed to the mean.

    Source: as for `air_heat_kw`. Raises `PhysicsError` as it does.

    >>> taken = HeatReadings(12.5, "centre", 60.0, 18.0, 105.0, 5.0, 0.02)
    >>> round(heat_out_kw(taken), 2)
    2.36
    """
    one_of("air speed taken as", readings.speed_kind, ("centre", "mean", "traverse"))
    ratio = mean_to_centre_ratio() if readings.speed_kind == "centre" else 1.0
    return air_heat_kw(
        readings.speed_m_s * ratio,
        readings.bore_mm,
        readings.inlet_c,
        readings.outlet_c,
        readings.pressure_pa,
    )


def balance_percent(readings: HeatReadings) -> float:
    """Give the efficiency (%) that a set of readings makes.

    Source: energy balance. Raises `PhysicsError` for readings that cannot be.

    >>> taken = HeatReadings(12.5, "centre", 60.0, 18.0, 105.0, 5.0, 0.02)
    >>> round(balance_percent(taken))
    66
    """
    fuel_kw = pump_power_kw(readings.rate_hz, readings.dose_ml, readings.fuel, readings.fuel_c)
    return efficiency_percent(heat_out_kw(readings), fuel_kw)


def rank_slips(
    readings: HeatReadings, usual_percent: tuple[float, float]
) -> tuple[SuspectReading, ...]:
    """Rank what may have gone wrong, likeliest first; nothing if the balance is usual.

    For each reading, reckon the value that brings the efficiency to the nearer end of the
    usual band (%), and how many of its usual errors away that is. Source: conservation
    of energy; the usual errors are common practice. Raises `PhysicsError` for readings that
    cannot be.

    >>> wrong = HeatReadings(15.0, "mean", 60.0, 18.0, 105.0, 5.0, 0.02)
    >>> rank_slips(wrong, (55.0, 85.0))[0].says
    'the air speed was taken as the mean, but read at the centre'
    """
    percent = balance_percent(readings)
    low, high = usual_percent
    if low <= percent <= high:
        return ()
    factor = (high if percent > high else low) / percent
    suspects: tuple[Callable[[HeatReadings, float], SuspectReading | None], ...] = (
        _speed_place,
        _speed,
        _bore,
        _inlet,
        _pulses,
        _dose,
    )
    found = (suspect(readings, factor) for suspect in suspects)
    return tuple(sorted((slip for slip in found if slip), key=lambda slip: slip.surprise))


def _speed_place(readings: HeatReadings, factor: float) -> SuspectReading | None:
    """Try the mean for the centre, or the centre for the mean, where that goes the right way."""
    ratio = mean_to_centre_ratio()
    if readings.speed_kind == "mean" and factor < 1:
        left = max(0.0, log(ratio / factor))
        says = "the air speed was taken as the mean, but read at the centre"
        mean_m_s = readings.speed_m_s * ratio
    elif readings.speed_kind == "centre" and factor > 1:
        left = max(0.0, log(factor * ratio))
        says = "the air speed was taken as the centre's, but was a mean"
        mean_m_s = readings.speed_m_s
    else:
        return None
    return SuspectReading(says, mean_m_s, "m/s", PLACE_MISREAD + left / SPEED_STRAYS)


def _speed(readings: HeatReadings, factor: float) -> SuspectReading:
    says = "the air speed was misread"
    return SuspectReading(
        says, readings.speed_m_s * factor, "m/s", 0.5 + abs(log(factor)) / SPEED_STRAYS
    )


def _bore(readings: HeatReadings, factor: float) -> SuspectReading:
    surprise = abs(log(factor)) / 2 / BORE_STRAYS
    says = "the bore is wrong, perhaps the outside of the duct"
    return SuspectReading(says, readings.bore_mm * sqrt(factor), "mm", surprise)


def _inlet(readings: HeatReadings, factor: float) -> SuspectReading:
    rise = readings.outlet_c - readings.inlet_c
    inlet_c = readings.outlet_c - rise * factor
    says = "the inlet temperature was measured in the wrong place"
    return SuspectReading(says, inlet_c, "C", abs(inlet_c - readings.inlet_c) / INLET_STRAYS_K)


def _pulses(readings: HeatReadings, factor: float) -> SuspectReading:
    needed = -log(factor)
    direct = abs(needed) / COUNT_STRAYS
    doubled = COUNTED_DOUBLE + abs(abs(needed) - log(2)) / COUNT_STRAYS
    says = "the pulses were miscounted"
    return SuspectReading(says, readings.rate_hz / factor, "Hz", min(direct, doubled))


def _dose(readings: HeatReadings, factor: float) -> SuspectReading:
    one_of("dose known by", readings.dose_kind, DOSE_STRAYS)
    from_memory = readings.dose_kind == "memory"
    says = "the dose is from memory" if from_memory else "the dose was measured wrongly"
    surprise = abs(log(factor)) / DOSE_STRAYS[readings.dose_kind]
    return SuspectReading(says, readings.dose_ml / factor, "ml", surprise)
