"""The split of a measured drop: volts at several points under one load, and the worst part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from diag.cli.bench.bench_screen import Told
from diag.cli.bench.readings import (
    Figure,
    Group,
    Reading,
    Verdict,
    Wanted,
    figure,
    improve,
    judge,
    read,
    weakest,
)
from diag.physics.supply_split import (
    BATTERY,
    JOINTS,
    MINUS_LEAD,
    PLUS_LEAD,
    SupplySplit,
    SupplyVolts,
    drops_from_points,
    split_drop,
)

# One multimeter on one range for all points: its scale error cancels in a difference.
VOLTS_ERROR = "0.02 V"
FINER = "settled, with a finer meter or range, or across the part itself"
SPLIT_SOURCE = "Kirchhoff's voltage law"


def _point(option: str, name: str, question: str, error: str = VOLTS_ERROR) -> Wanted:
    return Wanted(option, name, "V", question, error, FINER)


REST = _point("rest", "volts at rest", "Volts at the posts, all switched off?")
POSTS = _point("posts", "volts at the posts under load", "Load on: volts at the posts?")
FUSED = _point("fused", "volts behind the fuse holder", "Volts behind the fuse holder?")
PLUS_PIN = _point("plus-pin", "volts at the plus pin", "Battery minus to the unit's plus pin?")
MINUS_PIN = _point(
    "minus-pin", "volts at the minus pin", "Battery minus to the unit's minus pin?",
    "0.005 V",
)  # fmt: skip
POINTS = (REST, POSTS, FUSED, PLUS_PIN, MINUS_PIN)
SPLIT = Group("where the volts are lost", (POSTS, PLUS_PIN, MINUS_PIN))
SPLIT_EXTRA = {
    "rest": "the battery's own drop",
    "fused": "the plus lead apart from joints and fuse holder",
}
ENDS = {
    BATTERY: ("rest", "posts"),
    JOINTS: ("posts", "fused"),
    PLUS_LEAD: ("fused", "plus-pin"),
    MINUS_LEAD: ("minus-pin", None),
}


def split_told(typed: Mapping[str, str], told: Told, amps: Reading, lead_ohm: float | None) -> Told:
    """Add the split of the measured drop to what is told.

    `lead_ohm` is what one sound lead may have; without it the parts are held against nothing.
    """
    got = {each.option: read(each, typed[each.option]) for each in POINTS if each.option in typed}
    split = _split(got, amps.value, lead_ohm)
    figures = [_part(loss.part, got, loss.percent, split.total_v) for loss in split.losses]
    missing = tuple(
        f"with `--{option}` as well I could also say {what}"
        for option, what in SPLIT_EXTRA.items()
        if option not in got
    )
    known = {reading.name for reading in told.readings}
    fresh = [r for r in (*got.values(), amps) if r.name not in known]
    return replace(
        told,
        readings=(*told.readings, *fresh),
        figures=(*told.figures, *figures),
        verdicts=(*told.verdicts, _worst(split, got, amps, lead_ohm)),
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


def _split(got: Mapping[str, Reading], amps: float, lead_ohm: float | None) -> SupplySplit:
    posts = got["posts"].value
    volts = SupplyVolts(
        rest_v=got["rest"].value if "rest" in got else posts,
        posts_v=posts,
        fused_v=got["fused"].value if "fused" in got else posts,
        plus_pin_v=got["plus-pin"].value,
        minus_pin_v=got["minus-pin"].value,
        current_a=amps,
    )
    drops = drops_from_points(volts)
    if "rest" not in got:
        del drops[BATTERY]
    if "fused" not in got:
        del drops[JOINTS]
    return split_drop(drops, amps, _expected(lead_ohm))


def _expected(lead_ohm: float | None) -> dict[str, float]:
    return {} if lead_ohm is None else {PLUS_LEAD: lead_ohm, MINUS_LEAD: lead_ohm}


def _ends(part: str, got: Mapping[str, Reading]) -> tuple[str, ...]:
    """Return the points at the two ends of a part; the minus lead has one."""
    first, last = ENDS[part]
    if first == "fused" and "fused" not in got:
        first = "posts"
    return (first,) if last is None else (first, last)


def _drop_v(*ends: float) -> float:
    return ends[0] - ends[1] if len(ends) == 2 else ends[0]


def _part(part: str, got: Mapping[str, Reading], percent: float, total_v: float) -> Figure:
    ends = [got[end] for end in _ends(part, got)]
    volts = " - ".join(f"{end.value:g} V" for end in ends)
    how = f"{volts}, {percent:.0f} % of {total_v:.2f} V"
    return figure(part, "V", _drop_v, ends, how, SPLIT_SOURCE)


def _worst(
    split: SupplySplit, got: Mapping[str, Reading], amps: Reading, lead_ohm: float | None
) -> Verdict:
    """Name the worst part, or say that the meter cannot tell it from the next."""
    ranked = sorted(split.losses, key=lambda loss: -loss.excess_v)
    first = ranked[0]
    over = ", furthest above what sound cable takes" if lead_ohm is not None else ""
    sentence = (
        f"worst: the {first.part}, {first.drop_v:.2f} V or {first.resistance_ohm * 1e3:.0f} "
        f"mohm{over}"
    )
    if len(ranked) == 1:
        return Verdict("worst part", first.part, sentence)
    second = ranked[1]
    readings = [amps, *(got[each] for each in got)]
    margin = _lead_of(first.part, second.part, got, readings, _expected(lead_ohm))
    if judge(margin) == "clear yes":
        return Verdict("worst part", first.part, sentence, weakest(margin))
    sentence = (
        f"cannot tell whether the {first.part} or the {second.part} is worst: "
        f"{first.drop_v:.2f} and {second.drop_v:.2f} V are within the meter's error of each "
        f"other; {improve(margin, readings)}"
    )
    return Verdict("worst part", "cannot tell", sentence, weakest(margin))


def _lead_of(
    first: str,
    second: str,
    got: Mapping[str, Reading],
    readings: list[Reading],
    expected: Mapping[str, float],
) -> Figure:
    """Return by how many volts one part's excess leads another's; they may share a point."""
    more_ohm = expected.get(first, 0.0) - expected.get(second, 0.0)

    def ahead(a: float, *volts: float) -> float:
        at = dict(zip(got, volts, strict=True))
        one, other = (_drop_v(*(at[end] for end in _ends(part, got))) for part in (first, second))
        return one - other - more_ohm * a

    return figure("lead of the worst part", "V", ahead, readings, "", SPLIT_SOURCE)
