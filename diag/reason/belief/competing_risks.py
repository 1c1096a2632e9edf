"""Competing risks: how the states of one sign that several causes bring about combine.

Each cause that can bring about a state of a sign is a clock that runs towards it. Whichever rings
first decides the state, and the first state of a sign is the one that no clock brings about: the
independent latent times of Cox, "The analysis of exponentially distributed life-times with two
types of failure", J. R. Statist. Soc. B 21 (1959). With two states this is the noisy-OR of Pearl,
Probabilistic Reasoning in Intelligent Systems (1988), section 4.3.2; unlike the noisy-MAX of Diez,
"Parameter adjustment in Bayes networks" (UAI 1993), it wants no order of the states.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

Rates = tuple[float, ...]
"""The rate of a cause, or of several, for each state of a sign but the first."""
Chances = tuple[float, ...]
"""The chance of each state of a sign; they add to 1."""


def rates_of(strengths: Sequence[float]) -> Rates:
    """Split -ln(1 - A) over the states in proportion to their strengths, which add to A < 1.

    Raises `ValueError` for a strength below 0 or a sum of 1 or more.

    >>> [round(rate, 4) for rate in rates_of([0.3, 0.2])]
    [0.4159, 0.2773]
    """
    total = math.fsum(strengths)
    if total >= 1 or any(strength < 0 for strength in strengths):
        raise ValueError(f"strengths {list(strengths)} must be 0 or more and add to less than 1")
    if total == 0:
        return tuple(0.0 for _ in strengths)
    rate = -math.log1p(-total)
    return tuple(rate * strength / total for strength in strengths)


def added(rates: Iterable[Rates]) -> Rates:
    """Return the rates of several causes together."""
    return tuple(map(sum, zip(*rates, strict=True)))


def chances_of(rates: Rates) -> Chances:
    """Return P(first state) = exp(-R) and P(v) = (1 - exp(-R)) r(v) / R, R the sum of the rates.

    >>> [round(chance, 4) for chance in chances_of(rates_of([0.3, 0.2]))]
    [0.5, 0.3, 0.2]
    """
    total = sum(rates)
    share = _rung(total)
    return (math.exp(-total), *(share * rate for rate in rates))


def chance_of_both(gone: Rates, left: Rates, before: int, after: int) -> float:
    """Return P(`before`, `after`) of one sign read before and after a repair.

    The clocks of the causes that are `left`, the leak among them, ring in both readings alike, and
    those of the causes `gone` in the first only: what shows goes on showing unless the repair took
    it away, and then what it hid may show. States are numbered from the first, which is 0.

    >>> both = [chance_of_both(rates_of([0.5]), rates_of([0.2]), 1, after) for after in (0, 1)]
    >>> [round(chance, 4) for chance in both]
    [0.4, 0.2]
    """
    taken, kept = sum(gone), sum(left)
    if before == 0:
        return 0.0 if after else math.exp(-taken - kept)
    hidden = gone[before - 1] * _rung(taken) * math.exp(-kept)
    if after == 0:
        return hidden
    rung = _rung(taken + kept)
    stays = left[before - 1] * rung if before == after else 0.0
    if not left[after - 1] or not gone[before - 1]:
        return stays
    # A clock now gone rang first, at some time, and one that is left between then and the end.
    later = (gone[before - 1] * rung - hidden) / kept
    return stays + max(left[after - 1] * later, 0.0)


def _rung(rate: float) -> float:
    """Return (1 - exp(-R)) / R, the chance that a clock rings over its rate; 1 where R is 0."""
    return -math.expm1(-rate) / rate if rate else 1.0
