"""Marks of a drill, by family: ten points for each thing wrong, and what takes some away."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from diag.model.frozen import frozen
from diag.practice.drill.hints import ANSWER
from diag.practice.drill.levels import families_of

if TYPE_CHECKING:  # what is marked
    from diag.practice.drill.drill import Drill

FULL, RIGHT_FAMILY = 10.0, 3.0
PER_HINT, PER_STOP, PER_GOOD_PART, PER_CALL = 1.0, 2.0, 1.0, 2.0
SLOW, VERY_SLOW = 1.5, 3.0
MARKS_RULE = (
    "Ten for each thing wrong that is named or put right; three for a cause of the right family. "
    "Less one for each degree of hint, and none once the answer was told; two for each danger or "
    "caution run into; one for each good part changed; one for more than one and a half times the "
    "tool's minutes of work, two for more than three times; two for each call beyond what is wrong."
)
"""The rule of the marks, in words."""


@frozen
class FamilyMark:
    """Points for one thing that is wrong, and what they come of, in words."""

    family: str
    cause: str
    points: float
    why: tuple[str, ...]


def marks_of(drill: Drill, tool_minutes: float) -> tuple[FamilyMark, ...]:
    """Return the marks of a drill that is over: one for each thing wrong, or for a sound unit.

    `tool_minutes` is what the tool took on the same unit.
    """
    off = tuple(_taken_off(drill, tool_minutes))
    found = []
    for at, (family, cause) in enumerate(families_of(drill.book, drill.unit.truths)):
        points, why = _begun_with(drill, at, family)
        points = max(0.0, points - sum(loss for loss, _ in off)) if points else 0.0
        if drill.hint_degree >= ANSWER:
            points = 0.0
        found.append(FamilyMark(family, cause, points, (why, *(said for _, said in off))))
    return tuple(found)


def named_right(drill: Drill, at: int) -> bool:
    """Say whether a thing that is wrong was called, or put right before."""
    truth = drill.unit.truths[at]
    return bool(truth.intersection((*(drill.called or ()), *drill.repaired)))


def is_right(drill: Drill) -> bool:
    """Say whether the call was all right: each thing wrong named or put right, nothing else."""
    truths = drill.unit.truths
    called = drill.called or ()
    all_named = all(named_right(drill, at) for at in range(len(truths)))
    mended = not called and drill.unit.mended
    return (all_named or mended) and not too_many(drill)


def too_many(drill: Drill) -> tuple[str, ...]:
    """Return the causes called that are none of what is wrong."""
    return tuple(
        name for name in drill.called or () if not any(name in t for t in drill.unit.truths)
    )


def _begun_with(drill: Drill, at: int, family: str) -> tuple[float, str]:
    if not drill.unit.truths:
        sound = not drill.called
        return (FULL, "nothing is wrong, and that was said") if sound else (0.0, "nothing is wrong")
    if named_right(drill, at) or (not drill.called and drill.unit.mended):
        return FULL, "named or put right"
    areas = {drill.book.causes[name].area for name in drill.called or ()}
    if family in areas:
        return RIGHT_FAMILY, "the right family, another cause"
    return 0.0, "not found"


def _taken_off(drill: Drill, tool_minutes: float) -> Iterator[tuple[float, str]]:
    if drill.hint_degree:
        yield PER_HINT * drill.hint_degree, f"hints up to degree {drill.hint_degree}"
    if drill.stops:
        yield PER_STOP * len(drill.stops), f"dangers or cautions run into: {len(drill.stops)}"
    if drill.in_vain:
        yield PER_GOOD_PART * len(drill.in_vain), f"good parts changed: {len(drill.in_vain)}"
    times = drill.work.minutes / max(tool_minutes, 1.0)
    if times > SLOW:
        yield (2.0 if times > VERY_SLOW else 1.0), f"{times:.1f} times the tool's minutes"
    extra = _beyond(drill)
    if extra and drill.unit.truths:
        yield PER_CALL * extra, f"calls too many: {extra}"


def _beyond(drill: Drill) -> int:
    """Return how many calls were too many: one that is wrong, in place of the right one, is not."""
    missed = sum(not named_right(drill, at) for at in range(len(drill.unit.truths)))
    return max(0, len(too_many(drill)) - missed)


def weaknesses(
    points: Mapping[str, Sequence[float]], families: Iterable[str]
) -> Mapping[str, float]:
    """Return how much more often than usual each family is to be drawn, by its last marks.

    From 1 where the last three average ten, up to 4 where they are nothing; 2 where there are none.

    >>> weaknesses({"fuel": [10.0, 10.0], "supply": [0.0]}, ("fuel", "supply", "use"))
    {'fuel': 1.0, 'supply': 4.0, 'use': 2.0}
    """
    found = {}
    for family in families:
        last = points.get(family, [])[-3:]
        found[family] = 1.0 + 3.0 * (1.0 - sum(last) / len(last) / FULL) if last else 2.0
    return found
