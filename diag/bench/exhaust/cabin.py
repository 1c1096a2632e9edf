"""Carbon monoxide in the cabin, against limits by their averaging times and the trade's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.bench.amounts import read_amount, read_error
from diag.bench.exhaust.inputs import CABIN, METER_ERROR, samples_of
from diag.bench.exhaust.verdicts import ExhaustLimits
from diag.bench.figures import Judgement, Measurement, derive
from diag.bench.report import STOP, BenchReport, to_learn
from diag.physics.combustion.carbon_monoxide import (
    Exposure,
    Sample,
    against_limits,
    alarm_window_min,
    time_weighted_mean_ppm,
)
from diag.physics.errors import above

CO_CAUTION = (
    "Carbon monoxide kills without smell. If an alarm sounds or anyone has a headache, is dizzy "
    "or sick: everyone out into fresh air, heater off, call for help, and do not run it again "
    "until the cause is found. Local rules and licensed practice come first."
)
LONGEST_LIMIT_MIN = 1440.0  # for a single value that is taken to last
NAME = CABIN.name
STOP_NOW = "STOP: everybody out, heater off, open doors and windows"


def cabin_report(answers: Mapping[str, str], limits: ExhaustLimits) -> BenchReport:
    """Return the cabin's carbon monoxide against every limit, each with its meter's error."""
    text, mark, error = answers["cabin"].replace("±", "+-").partition("+-")
    lasting = ":" not in text and "minutes" not in answers
    minutes = read_amount("minutes", answers.get("minutes", f"{LONGEST_LIMIT_MIN:g}"), "min")
    samples = samples_of(NAME, text, above("minutes", minutes, "min", most=1e6))
    error = error if mark else METER_ERROR
    exposures = against_limits(samples)
    told = [_standing(each, error) for each in exposures]
    highest = max(sample.ppm for sample in samples)
    mean = time_weighted_mean_ppm(samples)
    of = Measurement(NAME, mean, read_error(f"error of {NAME}", error, "ppm", mean), "ppm")
    how = "one value" if ":" not in text else f"mean of {len(samples)} readings"
    figure = derive(
        "CO in the cabin", "ppm", lambda ppm: ppm, (of,), formula=how, source="trapezoid rule"
    )
    half = read_error(f"error of {NAME}", error, "ppm", highest)
    notes = [_alarm(highest)]
    if lasting:
        notes.append(to_learn("`--minutes`", "which limits are passed by now"))
    stands = _exposure_judgement(exposures, told, lasting, highest)
    if highest >= limits.cabin_danger_ppm and stands.verdict != STOP:
        stands = Judgement("cabin", STOP, _danger(highest, limits.cabin_danger_ppm))
    return BenchReport(
        measurements=(of,),
        figures=[figure],
        judgements=[stands, _air_judgement(highest, half, limits.cabin_clean_ppm)],
        notes=notes,
        extra={"limits": _as_objects(exposures, told)},
    )


def _air_judgement(highest: float, half: float, clean_ppm: float) -> Judgement:
    """Say if the air is clean, as it is with a tight exhaust."""
    if abs(highest - clean_ppm) < half:
        verdict, says = "cannot tell", f"cannot tell if the cabin's air is clean: {highest:g} ppm "
        says += f"is within the meter's {half:.1f} ppm of {clean_ppm:g} ppm"
    elif highest > clean_ppm:
        verdict, says = "foul", f"foul air: {highest:g} ppm in the cabin, above {clean_ppm:g} ppm; "
        says += "with a tight exhaust the meter stays where it stood outdoors"
    else:
        verdict, says = "clean", f"clean air: {highest:g} ppm in the cabin"
    return Judgement("cabin air", verdict, says, NAME)


def _standing(each: Exposure, error: str) -> str:
    """Return the standing, or `cannot tell` when the meter's error hides it."""
    half = read_error(f"error of {NAME}", error, "ppm", each.highest_mean_ppm)
    if each.standing != "record too short" and abs(each.highest_mean_ppm - each.limit.ppm) < half:
        return "cannot tell"
    return each.standing


def _exposure_judgement(
    exposures: Sequence[Exposure], told: Sequence[str], lasting: bool, highest: float
) -> Judgement:
    over = [e for e, standing in zip(exposures, told, strict=True) if standing == "exceeded"]
    if over:
        first = min(over, key=lambda each: each.limit.minutes)
        stays = " if it stays so" if lasting else ""
        return Judgement(
            "cabin",
            STOP,
            f"{STOP_NOW}: {highest:g} ppm exceeds {len(over)} of "
            f"{len(told)} limits{stays}, soonest {first.limit.name} ({_over(first)})",
        )
    if "cannot tell" in told:
        return Judgement(
            "cabin",
            "cannot tell",
            f"cannot tell: {highest:g} ppm is within the meter's error of a limit; take `{NAME}` "
            f"again, {CABIN.again}, and keep the heater off till then",
            NAME,
        )
    if "record too short" in told:
        return Judgement("cabin", "no limit passed yet", _not_yet(highest))
    return Judgement("cabin", "kept", f"kept: {highest:g} ppm at most is within all limits")


def _danger(highest: float, danger_ppm: float) -> str:
    """Say that a level is a danger, and which limits it will pass when it lasts."""
    says = f"{STOP_NOW}: {highest:g} ppm, {danger_ppm:g} ppm or more is a danger"
    later, first = _later(highest)
    if first is None:
        return says
    return (
        f"{says}; if it stays so it exceeds {later} limits, soonest {first.limit.name} "
        f"({_over(first)})"
    )


def _later(highest: float) -> tuple[int, Exposure | None]:
    """Return how many limits a level will pass when it lasts, and which of them first."""
    lasting = (Sample(0.0, highest), Sample(LONGEST_LIMIT_MIN, highest))
    later = [each for each in against_limits(lasting) if each.standing == "exceeded"]
    return len(later), min(later, key=lambda each: each.limit.minutes, default=None)


def _not_yet(highest: float) -> str:
    """Say what a level that passed no limit yet will pass when it lasts."""
    later, first = _later(highest)
    if first is None:
        return f"no limit passed: {highest:g} ppm is below all limits; clean air has none"
    return (
        f"no limit passed yet, but if it stays at {highest:g} ppm it exceeds {later} limits, "
        f"soonest {first.limit.name} ({_over(first)}): ventilate and find the leak before running "
        "on"
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
