"""Carbon monoxide: units, exposure limits with their averaging times, alarm set points."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from diag.model.frozen import frozen
from diag.physics.errors import PhysicsError, between, celsius
from diag.physics.heat.atmosphere import SEA_LEVEL_PA
from diag.physics.interpolation import along

CO_G_PER_MOL = 28.010
GAS_J_PER_MOL_K = 8.314462618
MAX_PPM = 100000.0

LimitStanding = Literal["exceeded", "kept", "record too short"]


@frozen
class ExposureLimit:
    """Hold one limit: who set it, ppm as a mean over so many minutes (0 is at no moment)."""

    name: str
    ppm: float
    minutes: float
    source: str


@frozen
class Sample:
    """Hold one reading of CO: minutes since the first, and ppm."""

    minute: float
    ppm: float


@frozen
class Exposure:
    """Hold a record against a limit: the highest mean (ppm) over its time, and the standing.

    With a record shorter than the averaging time the mean is that over the limit's whole time
    with clean air for the rest, so that `exceeded` is certain.
    """

    limit: ExposureLimit
    highest_mean_ppm: float
    standing: LimitStanding


@frozen
class AlarmPoint:
    """Hold an alarm set point: at this ppm, earliest and latest minute to sound, if at all."""

    ppm: float
    not_before_min: float
    within_min: float | None


# EN 50291-1:2018 (EN 50291-2 for vehicles and craft keeps them). At 30 ppm the requirement is
# only that it must NOT sound before 120 min.
ALARM_POINTS = (
    AlarmPoint(30.0, 120.0, None),
    AlarmPoint(50.0, 60.0, 90.0),
    AlarmPoint(100.0, 10.0, 40.0),
    AlarmPoint(300.0, 0.0, 3.0),
)

# UL 2034 (CSA 6.19), for contrast: an alarm of that kind may stay silent for 30 days at 30 ppm.
UL_2034_POINTS = (
    AlarmPoint(30.0, 30.0 * 24 * 60, None),
    AlarmPoint(70.0, 60.0, 240.0),
    AlarmPoint(150.0, 10.0, 50.0),
    AlarmPoint(400.0, 4.0, 15.0),
)


def mg_per_m3_from_ppm(ppm: float, temperature_c: float = 25.0) -> float:
    """Give CO in mg/m3 from ppm by volume at a temperature (C) and 101325 Pa.

    Source: ideal gas, 28.010 g/mol. Raises `PhysicsError` for ppm outside 0 to 100000 or a
    temperature outside -50 to 100 C.

    >>> round(mg_per_m3_from_ppm(30.0), 2)
    34.35
    """
    between("carbon monoxide", ppm, "ppm", least=0.0, most=MAX_PPM)
    return ppm * _mg_per_m3_per_ppm(temperature_c)


def ppm_from_mg_per_m3(mg_per_m3: float, temperature_c: float = 25.0) -> float:
    """Give CO in ppm by volume from mg/m3 at a temperature (C) and 101325 Pa.

    Source: ideal gas, 28.010 g/mol. Raises `PhysicsError` for negative values or a
    temperature outside -50 to 100 C.

    >>> round(ppm_from_mg_per_m3(35.0), 1)
    30.6
    """
    between("carbon monoxide", mg_per_m3, "mg/m3", least=0.0, most=200000.0)
    return mg_per_m3 / _mg_per_m3_per_ppm(temperature_c)


def _mg_per_m3_per_ppm(temperature_c: float) -> float:
    celsius("air temperature", temperature_c, least=-50.0, most=100.0)
    return CO_G_PER_MOL * SEA_LEVEL_PA / (GAS_J_PER_MOL_K * (temperature_c + 273.15)) / 1000


def _who(mg_per_m3: float, minutes: float, place: str) -> ExposureLimit:
    ppm = ppm_from_mg_per_m3(mg_per_m3)
    return ExposureLimit(f"WHO {place}, {mg_per_m3:g} mg/m3", ppm, minutes, f"WHO {place}")


WORKPLACE = "Directive 2004/37/EC Annex III, by (EU) 2022/431; before that 2017/164/EU"

# WHO 2010 figures are from memory but for the 24 h row; ppm at 25 C. The others are published
# in ppm.
LIMITS = (
    _who(100.0, 15.0, "indoor air 2010"),
    _who(35.0, 60.0, "indoor air 2010"),
    _who(10.0, 480.0, "indoor air 2010"),
    _who(7.0, 1440.0, "indoor air 2010"),
    _who(4.0, 1440.0, "air quality 2021"),
    ExposureLimit("EU and UK workplace, 15 min", 100.0, 15.0, WORKPLACE),
    ExposureLimit("EU and UK workplace, 8 h", 20.0, 480.0, WORKPLACE),
    ExposureLimit("NIOSH recommended, 10 h", 35.0, 600.0, "NIOSH Pocket Guide"),
    ExposureLimit("NIOSH ceiling", 200.0, 0.0, "NIOSH Pocket Guide"),
    ExposureLimit("OSHA permissible, 8 h", 50.0, 480.0, "29 CFR 1910.1000 Table Z-1"),
    ExposureLimit("ACGIH threshold, 8 h", 25.0, 480.0, "ACGIH TLV"),
    ExposureLimit("EPA outdoor air, 1 h", 35.0, 60.0, "NAAQS"),
    ExposureLimit("EPA outdoor air, 8 h", 9.0, 480.0, "NAAQS"),
)

# WHO Air Quality Guidelines for Europe, 2000: what the 2010 figures replaced.
EARLIER_WHO_LIMITS = (
    _who(100.0, 15.0, "Europe 2000"),
    _who(60.0, 30.0, "Europe 2000"),
    _who(30.0, 60.0, "Europe 2000"),
    _who(10.0, 480.0, "Europe 2000"),
)


def time_weighted_mean_ppm(samples: Sequence[Sample]) -> float:
    """Give the time-weighted mean (ppm) of a record, straight lines between readings.

    Source: trapezoid rule. Raises `PhysicsError` for fewer than two readings, minutes that do
    not rise, or ppm outside 0 to 100000.

    >>> time_weighted_mean_ppm((Sample(0, 0), Sample(10, 40), Sample(30, 40)))
    33.333333333333336
    """
    record = _checked(samples)
    return _dose(record, record[0][0], record[-1][0]) / (record[-1][0] - record[0][0])


def _checked(samples: Sequence[Sample]) -> tuple[tuple[float, float], ...]:
    if len(samples) < 2:
        raise PhysicsError(f"`readings of CO` are {len(samples)}: expected two or more")
    for sample in samples:
        between("minute of a reading", sample.minute, "min", least=0.0, most=1e6)
        between("carbon monoxide", sample.ppm, "ppm", least=0.0, most=MAX_PPM)
    for before, after in pairwise(samples):
        if after.minute <= before.minute:
            raise PhysicsError(
                f"`minute of a reading` is {after.minute:g} min: expected after the one before, "
                f"{before.minute:g} min"
            )
    return tuple((sample.minute, sample.ppm) for sample in samples)


def _dose(record: tuple[tuple[float, float], ...], start: float, end: float) -> float:
    """Integrate the record in ppm min from a start to an end minute."""
    inside = [point for point in record if start < point[0] < end]
    points = [(start, along(record, start)), *inside, (end, along(record, end))]
    return sum((b[0] - a[0]) * (a[1] + b[1]) / 2 for a, b in pairwise(points))


def highest_mean_ppm(samples: Sequence[Sample], minutes: float) -> float:
    """Give the highest mean (ppm) over any window of so many minutes in a record.

    Where the record is shorter, clean air is taken for the rest; 0 minutes gives the highest
    reading. Source: rolling mean of straight lines. Raises `PhysicsError` for a bad record.

    >>> highest_mean_ppm((Sample(0, 100), Sample(10, 100), Sample(20, 0), Sample(60, 0)), 10)
    100.0
    """
    record = _checked(samples)
    between("averaging time", minutes, "min", least=0.0, most=1e6)
    if minutes == 0:
        return max(ppm for _, ppm in record)
    first, last = record[0][0], record[-1][0]
    if last - first <= minutes:
        return _dose(record, first, last) / minutes
    return (
        max(_dose(record, start, start + minutes) for start in _candidate_starts(record, minutes))
        / minutes
    )


def _candidate_starts(record: tuple[tuple[float, float], ...], minutes: float) -> list[float]:
    """List the starts among which the fullest window is: corners, and where both ends are level."""
    first, latest = record[0][0], record[-1][0] - minutes
    corners = {first, latest}
    for minute, _ in record:
        corners |= {each for each in (minute, minute - minutes) if first < each < latest}
    starts = sorted(corners)

    def gain(start: float) -> float:
        return along(record, start + minutes) - along(record, start)

    level = []
    for left, right in pairwise(starts):
        rise, fall = gain(left), gain(right)
        if rise > 0 > fall:
            level.append(left + (right - left) * rise / (rise - fall))
    return starts + level


def against_limits(
    samples: Sequence[Sample], limits: Sequence[ExposureLimit] = LIMITS
) -> tuple[Exposure, ...]:
    """Hold a record of CO against exposure limits, each by its own averaging time.

    Source: as each limit states. Raises `PhysicsError` for a bad record.

    >>> steady = (Sample(0, 40), Sample(60, 40))
    >>> [(e.limit.name, e.standing) for e in against_limits(steady, LIMITS[1:3])]
    [('WHO indoor air 2010, 35 mg/m3', 'exceeded'), ('WHO indoor air 2010, 10 mg/m3', \
'record too short')]
    """
    length = _checked(samples)[-1][0] - samples[0].minute
    held = []
    for limit in limits:
        mean = highest_mean_ppm(samples, limit.minutes)
        standing: LimitStanding = "kept" if length >= limit.minutes else "record too short"
        if mean > limit.ppm:
            standing = "exceeded"
        held.append(Exposure(limit, mean, standing))
    return tuple(held)


def alarm_window_min(
    ppm: float, points: tuple[AlarmPoint, ...] = ALARM_POINTS
) -> AlarmPoint | None:
    """Give the set point at or next below a steady ppm; nothing below the lowest.

    The points are those of EN 50291-1:2018 unless others are given, such as `UL_2034_POINTS`.
    Raises `PhysicsError` for ppm outside 0 to 100000.

    >>> alarm_window_min(60.0)
    AlarmPoint(ppm=50.0, not_before_min=60.0, within_min=90.0)
    """
    between("carbon monoxide", ppm, "ppm", least=0.0, most=MAX_PPM)
    reached = [point for point in points if point.ppm <= ppm]
    return reached[-1] if reached else None
