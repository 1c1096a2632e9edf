"""Carbon monoxide in the exhaust and in the cabin, against limits by their averaging times."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from diag.cli.bench.amounts import read_amount, read_error
from diag.cli.bench.bench_screen import STOP, Told
from diag.cli.bench.readings import Figure, Reading, Verdict, Wanted, figure
from diag.physics.carbon_monoxide import (
    Exposure,
    Sample,
    against_limits,
    alarm_window_min,
    mg_per_m3_from_ppm,
    time_weighted_mean_ppm,
)
from diag.physics.errors import above, between
from diag.physics.flue import undiluted_ppm

CO_CAUTION = (
    "carbon monoxide kills without smell. If an alarm sounds or anyone has a headache, is dizzy "
    "or sick: all out into fresh air, unit off, call for help, and do not run it again until the "
    "cause is found. Local rules and licensed practice come first."
)
METER_ERROR = "5 % + 3 ppm"  # a plain electrochemical meter: common practice, no source
LONGEST_LIMIT_MIN = 1440.0  # for a single value that is taken to last
WORK_LIMIT_PPM = 20.0  # Directive 2017/164/EU, 8 h
SHOWN = 6
LIMIT_SOURCE = "rolling mean by each limit's averaging time"
NAME = "carbon monoxide in the cabin"
_POINT = re.compile(r"([0-9.,]+):([0-9.,]+)")


def _worst(name: str, text: str, unit: str) -> float:
    """Return the highest value of a record, so that a slip is found when it is typed."""
    return max(sample.ppm for sample in samples_of(name, text, 1.0))


CO = Wanted(
    "co", "carbon monoxide in the exhaust", "ppm", "Carbon monoxide in the exhaust?", METER_ERROR,
    "with the meter zeroed in clean air",
)  # fmt: skip
CABIN = Wanted(
    "cabin", NAME, "ppm", "Carbon monoxide in the cabin, or minute:ppm ...?", METER_ERROR,
    "with the meter zeroed in clean air", _worst,
)  # fmt: skip


def samples_of(name: str, text: str, lasts_min: float) -> tuple[Sample, ...]:
    """Read a single value that lasts so many minutes, or a record as `0:12 15:40 30:38`.

    Raises `ValueError` with one sentence for what cannot be read.

    >>> samples_of("CO", "0:12 15:40", 60.0)[1]
    Sample(minute=15.0, ppm=40.0)
    """
    if ":" not in text:
        ppm = between(name, read_amount(name, text, "ppm"), "ppm", least=0.0, most=1e5)
        return (Sample(0.0, ppm), Sample(lasts_min, ppm))
    points = text.replace("ppm", " ").replace(";", " ").split()
    matches = [_POINT.fullmatch(point) for point in points]
    if not all(matches):
        raise ValueError(
            f"`{name}` is `{text.strip()[:60]}`: expected one value, such as `35 ppm`, or minutes "
            "and values, such as `0:12 15:40 30:38`"
        )
    found = [match for match in matches if match]
    return tuple(
        Sample(read_amount("minute", m[1], "min"), read_amount(name, m[2], "ppm")) for m in found
    )


def exhaust_co_figures(co: Reading, oxygen: Reading | None) -> list[Figure]:
    """Return the exhaust's carbon monoxide by mass, undiluted, and how far it must thin."""
    between(co.name, co.value, "ppm", least=0.0, most=1e5)
    said = f"{co.value:g} ppm at 25 C"
    figures = [
        figure("CO in the exhaust", "mg/m3", mg_per_m3_from_ppm, (co,), said, "28.010 g/mol")
    ]
    if oxygen is not None:
        how = f"{oxygen.value:g} % oxygen and its air taken out"
        figures.append(
            figure("CO undiluted", "ppm", undiluted_ppm, (co, oxygen), how, "dilution with air")
        )
    if co.value > WORK_LIMIT_PPM:
        how = f"clean air to each part, down to {WORK_LIMIT_PPM:g} ppm"
        figures.append(
            figure("to be thinned, times", "1", lambda ppm: ppm / WORK_LIMIT_PPM, (co,), how,
                   "EU and UK workplace limit for 8 h, Directive 2017/164/EU")
        )  # fmt: skip
    return figures


def cabin_told(answers: Mapping[str, str]) -> Told:
    """Return the cabin's carbon monoxide against every limit, each with its meter's error."""
    text, mark, error = answers["cabin"].replace("±", "+-").partition("+-")
    lasting = ":" not in text and "minutes" not in answers
    minutes = above(
        "minutes",
        read_amount("minutes", answers.get("minutes", f"{LONGEST_LIMIT_MIN:g}"), "min"),
        "min",
        most=1e6,
    )
    samples = samples_of(NAME, text, minutes)
    error = error if mark else METER_ERROR
    exposures = against_limits(samples)
    told = [_standing(each, error) for each in exposures]
    highest = max(sample.ppm for sample in samples)
    mean = time_weighted_mean_ppm(samples)
    of = Reading(NAME, mean, read_error(f"error of {NAME}", error, "ppm", mean), "ppm")
    how = "one value" if ":" not in text else f"mean of {len(samples)} readings"
    figures = [figure("CO in the cabin", "ppm", lambda ppm: ppm, (of,), how, "trapezoid rule")]
    notes = [_alarm(highest)]
    if lasting:
        notes.append("with `--minutes` as well I could also say which limits are passed by now")
    return Told(
        (of,), figures, [_verdict(exposures, told, lasting, highest)], (), notes, (),
        _table(exposures, told), {"limits": _as_objects(exposures, told)},
    )  # fmt: skip


def _standing(each: Exposure, error: str) -> str:
    """Return the standing, or `cannot tell` when the meter's error hides it."""
    half = read_error(f"error of {NAME}", error, "ppm", each.highest_mean_ppm)
    if each.standing != "record too short" and abs(each.highest_mean_ppm - each.limit.ppm) < half:
        return "cannot tell"
    return each.standing


def _verdict(
    exposures: Sequence[Exposure], told: Sequence[str], lasting: bool, highest: float
) -> Verdict:
    over = [e for e, standing in zip(exposures, told, strict=True) if standing == "exceeded"]
    if over:
        first = min(over, key=lambda each: each.limit.minutes)
        stays = " if it stays so" if lasting else ""
        return Verdict(
            "cabin",
            STOP,
            f"stop: unit off, all out, air the place: {highest:g} ppm exceeds {len(over)} of "
            f"{len(told)} limits{stays}, soonest {first.limit.name} ({_over(first)})",
        )
    if "cannot tell" in told:
        return Verdict(
            "cabin",
            "cannot tell",
            f"cannot tell: {highest:g} ppm is within the meter's error of a limit; take `{NAME}` "
            f"again, {CABIN.again}, and keep the unit off till then",
            NAME,
        )
    if "record too short" in told:
        return Verdict("cabin", "no limit passed yet", _not_yet(highest))
    return Verdict("cabin", "kept", f"kept: {highest:g} ppm at most is within all limits")


def _not_yet(highest: float) -> str:
    """Say what a level that passed no limit yet will pass when it lasts."""
    lasting = (Sample(0.0, highest), Sample(LONGEST_LIMIT_MIN, highest))
    later = [each for each in against_limits(lasting) if each.standing == "exceeded"]
    if not later:
        return f"no limit passed: {highest:g} ppm is below all limits; clean air has none"
    first = min(later, key=lambda each: each.limit.minutes)
    return (
        f"no limit passed yet, but if it stays at {highest:g} ppm it exceeds {len(later)}, soonest "
        f"{first.limit.name} ({_over(first)}): air the place and find the leak before running on"
    )


def _over(each: Exposure) -> str:
    if not each.limit.minutes:
        return f"{each.limit.ppm:.3g} ppm at any moment"
    return f"{each.limit.ppm:.3g} ppm over {each.limit.minutes:g} min"


def _alarm(highest: float) -> str:
    point = alarm_window_min(highest)
    if point is None:
        return "an EN 50291 alarm stays silent below 30 ppm: silence is not clean air"
    if point.within_min is None:
        return "an EN 50291 alarm must not sound before 120 min at 30 ppm: do not wait for it"
    start = f"after {point.not_before_min:g} to " if point.not_before_min else "within "
    return f"an EN 50291 alarm sounds {start}{point.within_min:g} min at {point.ppm:g} ppm"


def _table(exposures: Sequence[Exposure], told: Sequence[str]) -> list[str]:
    """Return the limits that are passed or doubtful, the furthest passed first."""
    pairs = [
        (each, standing)
        for each, standing in zip(exposures, told, strict=True)
        if standing in ("exceeded", "cannot tell")
    ]
    pairs.sort(key=lambda pair: -pair[0].highest_mean_ppm / pair[0].limit.ppm)
    lines = [
        f"  {each.limit.name:<34} {_over(each):<26} {standing}" for each, standing in pairs[:SHOWN]
    ]
    left = len(told) - len(lines)
    return [*lines, f"  {left} more limits in --json"] if lines else lines


def _as_objects(exposures: Sequence[Exposure], told: Sequence[str]) -> list[dict[str, object]]:
    return [
        {
            "name": each.limit.name,
            "limit_ppm": each.limit.ppm,
            "minutes": each.limit.minutes,
            "highest_mean_ppm": each.highest_mean_ppm,
            "standing": standing,
            "source": each.limit.source,
        }
        for each, standing in zip(exposures, told, strict=True)
    ]
