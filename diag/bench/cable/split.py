"""The split of a measured drop: volts at several points under one load, and the worst part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from diag.bench.cable.inputs import POINTS
from diag.bench.figures import (
    DerivedFigure,
    Judgement,
    Measurement,
    derive,
    improve,
    judge,
    weakest,
)
from diag.bench.inputs import measured
from diag.bench.report import BenchReport, to_learn
from diag.physics.supply.split import (
    BATTERY,
    JOINTS_PART,
    NEGATIVE_CABLE,
    POSITIVE_CABLE,
    SupplySplit,
    SupplyVolts,
    drops_from_points,
    split_drop,
)

SPLIT_SOURCE = "Kirchhoff's voltage law"
SPLIT_EXTRA = {
    "rest": "the battery's own drop",
    "fused": "the positive cable apart from joints and fuse holder",
}
ENDS = {
    BATTERY: ("rest", "terminals"),
    JOINTS_PART: ("terminals", "fused"),
    POSITIVE_CABLE: ("fused", "positive-pin"),
    NEGATIVE_CABLE: ("negative-pin", None),
}


def with_split(
    typed: Mapping[str, str], told: BenchReport, amps: Measurement, lead_ohm: float | None
) -> BenchReport:
    """Add the split of the measured drop to what is told.

    `lead_ohm` is what one sound lead may have; without it the parts are held against nothing.
    """
    got = {
        each.option: measured(each, typed[each.option]) for each in POINTS if each.option in typed
    }
    split = _split(got, amps.value, lead_ohm)
    figures = [_part(loss.part, got, loss.percent, split.total_v) for loss in split.losses]
    missing = tuple(
        to_learn(f"`--{option}`", what) for option, what in SPLIT_EXTRA.items() if option not in got
    )
    known = {reading.name for reading in told.measurements}
    fresh = [r for r in (*got.values(), amps) if r.name not in known]
    return replace(
        told,
        measurements=(*told.measurements, *fresh),
        figures=(*told.figures, *figures),
        judgements=(*told.judgements, _worst(split, got, amps, lead_ohm)),
        notes=(*missing, *told.notes),
        extra={**told.extra, "split": _as_object(split)},
    )


def _as_object(split: SupplySplit) -> dict[str, object]:
    return {
        "whole_drop_v": split.total_v,
        "worst": split.worst,
        "parts": [
            {
                "part": loss.part,
                "drop_v": loss.drop_v,
                "percent": loss.percent,
                "resistance_ohm": loss.resistance_ohm,
                "excess_v": loss.excess_v,
            }
            for loss in split.losses
        ],
    }


def _split(got: Mapping[str, Measurement], amps: float, lead_ohm: float | None) -> SupplySplit:
    terminals = got["terminals"].value
    volts = SupplyVolts(
        rest_v=got["rest"].value if "rest" in got else terminals,
        terminals_v=terminals,
        fused_v=got["fused"].value if "fused" in got else terminals,
        positive_pin_v=got["positive-pin"].value,
        negative_pin_v=got["negative-pin"].value,
        current_a=amps,
    )
    drops = drops_from_points(volts)
    if "rest" not in got:
        del drops[BATTERY]
    if "fused" not in got:
        del drops[JOINTS_PART]
    return split_drop(drops, amps, _expected(lead_ohm))


def _expected(lead_ohm: float | None) -> dict[str, float]:
    return {} if lead_ohm is None else {POSITIVE_CABLE: lead_ohm, NEGATIVE_CABLE: lead_ohm}


def _ends(part: str, got: Mapping[str, Measurement]) -> tuple[str, ...]:
    """Return the points at the two ends of a part; the negative cable has one."""
    first, last = ENDS[part]
    if first == "fused" and "fused" not in got:
        first = "terminals"
    return (first,) if last is None else (first, last)


def _drop_v(*ends: float) -> float:
    return ends[0] - ends[1] if len(ends) == 2 else ends[0]


def _part(
    part: str, got: Mapping[str, Measurement], percent: float, total_v: float
) -> DerivedFigure:
    ends = [got[end] for end in _ends(part, got)]
    volts = " - ".join(f"{end.value:g} V" for end in ends)
    how = f"{volts}, {percent:.0f} % of {total_v:.2f} V"
    return derive(part, "V", _drop_v, ends, formula=how, source=SPLIT_SOURCE)


def _worst(
    split: SupplySplit, got: Mapping[str, Measurement], amps: Measurement, lead_ohm: float | None
) -> Judgement:
    """Name the worst part, or say that the meter cannot tell it from the next."""
    ranked = sorted(split.losses, key=lambda loss: -loss.excess_v)
    first = ranked[0]
    over = ", furthest above what sound cable takes" if lead_ohm is not None else ""
    sentence = (
        f"worst: the {first.part}, {first.drop_v:.2f} V or {first.resistance_ohm * 1e3:.0f} "
        f"mohm{over}"
    )
    if len(ranked) == 1:
        return Judgement("worst part", first.part, sentence)
    second = ranked[1]
    readings = [amps, *(got[each] for each in got)]
    margin = _lead_of(first.part, second.part, got, readings, _expected(lead_ohm))
    if judge(margin) == "clear yes":
        return Judgement("worst part", first.part, sentence, weakest(margin))
    sentence = (
        f"cannot tell whether the {first.part} or the {second.part} is worst: "
        f"{first.drop_v:.2f} and {second.drop_v:.2f} V are within the meter's error of each "
        f"other; {improve(margin, readings)}"
    )
    return Judgement("worst part", "cannot tell", sentence, weakest(margin))


def _lead_of(
    first: str,
    second: str,
    got: Mapping[str, Measurement],
    readings: list[Measurement],
    expected: Mapping[str, float],
) -> DerivedFigure:
    """Return by how many volts one part's excess leads another's; they may share a point."""
    more_ohm = expected.get(first, 0.0) - expected.get(second, 0.0)

    def ahead(a: float, *volts: float) -> float:
        at = dict(zip(got, volts, strict=True))
        one, other = (_drop_v(*(at[end] for end in _ends(part, got))) for part in (first, second))
        return one - other - more_ohm * a

    return derive("lead of the worst part", "V", ahead, readings, source=SPLIT_SOURCE)
