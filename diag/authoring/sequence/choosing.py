"""Which checks a sheet holds, and in which fixed order.

The order begins by chance over cost: step after step, of what is left, the one that shows most
units for its minutes. For independent steps that is the least cost: W. E. Smith, "Various
optimizers for single-stage production", Naval Res. Logist. Q. 3 (1956), and Mitten (1960), both
from memory. Steps here share runs, readings and what is open, so two are exchanged, or one is
moved, until nothing helps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import combinations, permutations
from math import inf

from diag.authoring.sequence.walk import Order, Walk, without

MOST_STEPS = 14
LEAST_GAIN = 1e-9
"""Minutes by which a list must be cheaper to count as such."""


def best_sequence(
    walk: Walk, most: int = MOST_STEPS, progress: Callable[[float], None] = lambda _: None
) -> Order:
    """Return the steps of a sheet in their order: no exchange of two makes it cheaper."""
    order = chosen(walk, most, progress)
    while True:
        ordered = exchanged(walk, by_ratio(walk, order))
        order = min(order, ordered, key=walk.minutes)
        better = _replaced(walk, order, most)
        progress(0.9)
        if walk.minutes(better) > walk.minutes(order) - LEAST_GAIN:
            return exchanged(walk, order)
        order = better


def shortened(walk: Walk, order: Order) -> Order:
    """Return the cheapest list with one step less, in its best order."""
    shorter = (without(order, step) for step in order)
    return exchanged(walk, min(shorter, key=walk.minutes))


def chosen(walk: Walk, most: int, progress: Callable[[float], None] = lambda _: None) -> Order:
    """Return at most so many checks, each the one that makes the list cheapest when added."""
    order: Order = ()
    while len(order) < most:
        longer = (order + more for more in _additions(walk, order, most - len(order)))
        best = min(longer, key=walk.minutes, default=order)
        if walk.minutes(best) > walk.minutes(order) - LEAST_GAIN:
            break
        order = best
        progress(0.8 * len(order) / most)
    return order


def by_ratio(walk: Walk, steps: Iterable[str]) -> Order:
    """Return steps by chance over cost, each among those that make sense after the ones before."""
    order: Order = ()
    left = sorted(steps)
    while left:
        ratios = [(_ratio(walk, order, one), one) for one in left]
        best, step = max(ratios, key=lambda one: one[0])
        if best == -inf:
            return (*order, *left)
        order = (*order, step)
        left.remove(step)
    return order


def _ratio(walk: Walk, order: Order, step: str) -> float:
    before, after = walk.stand(order), walk.stand((*order, step))
    if before is None or after is None:
        return -inf
    shown = sum(before.weights) - sum(after.weights)
    return shown / after.spent if after.spent > 0 else inf if shown > 0 else 0.0


def exchanged(walk: Walk, order: Order) -> Order:
    """Exchange two steps, or move one, as long as that makes the list cheaper."""
    places = range(len(order))
    ways = [*((_swapped, one, other) for one, other in combinations(places, 2)),
            *((_moved, one, other) for one, other in permutations(places, 2))]  # fmt: skip
    in_vain, at = 0, 0
    while in_vain < len(ways):
        way, one, other = ways[at % len(ways)]
        changed = way(order, one, other)
        better = walk.minutes(changed) < walk.minutes(order) - LEAST_GAIN
        order, in_vain = (changed, 0) if better else (order, in_vain + 1)
        at += 1
    return order


def _swapped(order: Order, one: int, other: int) -> Order:
    steps = list(order)
    steps[one], steps[other] = steps[other], steps[one]
    return tuple(steps)


def _moved(order: Order, one: int, to: int) -> Order:
    rest = (*order[:one], *order[one + 1 :])
    return (*rest[:to], order[one], *rest[to:])


def _replaced(walk: Walk, order: Order, most: int) -> Order:
    """Return the cheapest list with one step left out and, where it pays, others put in."""
    best = order
    for step in order:
        rest = without(order, step)
        longer = [rest + more for more in _additions(walk, rest, most - len(rest))]
        for one in (rest, *sorted(longer, key=walk.minutes)[:1]):
            best = min(best, one, key=walk.minutes)
    return best


def _additions(walk: Walk, order: Order, room: int) -> Iterator[Order]:
    """Yield what may be added at the end: a check, or one with another that it waits for."""
    able = [one for one in walk.candidates if one not in order]
    for check in able:
        yield (check,)
        for other in walk.companions[check]:
            if room > 1 and other not in order:
                yield (other, check)
