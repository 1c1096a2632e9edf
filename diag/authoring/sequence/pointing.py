"""What a look that is not good points to: a few causes, or nothing that can be told yet.

A state isolates the fault where at most three causes make up most of the units that show it, after
the ambiguity groups by which test sets are judged (IEEE 1522; MIL-HDBK-2165; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import nlargest
from typing import NamedTuple

from diag.reason.belief.links import Links, SignTable

MOST_NAMED = 3
"""How many causes a state may point to."""
COVERED = 0.6
"""The share of the units with a state that those must make up."""
LEAST_NAMED = 0.05
"""The least share of the units with a state, of a cause that is named."""
LEAST_BROUGHT = 0.2
"""The least chance with which a cause that is named makes the sign bad, in whatever state."""
LEAST_SEEN = 0.005
"""The least share of the units still in question, of those that show a state worth telling."""


class StateChances(NamedTuple):
    """The chances of one state that is not good: with no cause linked, and by linked cause."""

    state: str
    anyway: float
    linked: Sequence[tuple[int, float]]
    """Place of a cause among those of the complaint, and the chance."""
    bringing: frozenset[int]
    """The places of the causes that bring this very state about, and make the sign bad often."""


@dataclass(frozen=True, slots=True)
class Pointer:
    """A sign in states that are not good, and the few causes that each of them points to."""

    sign: str
    states: tuple[str, ...]
    causes: tuple[tuple[int, float], ...]
    """Places of causes, the likeliest first, each with the chance that it shows one of these."""
    share: float
    """The share of all units in which it shows one of these."""


def state_chances(links: Links, causes: Sequence[int], sign: str) -> tuple[StateChances, ...]:
    """Return what belief expects of a sign's bad states under each cause (by index) alone.

    Whoever goes by a sheet looks with care: slips, by which a session weighs what it is told, are
    left out.
    """
    table = links.table(sign)
    linked = [(place, cause) for place, cause in enumerate(causes) if cause in table.given]
    often = [(place, cause) for place, cause in linked if _bad(table, cause) >= LEAST_BROUGHT]
    return tuple(
        StateChances(
            state,
            table.leak_chances[at],
            tuple((place, table.given[cause][at]) for place, cause in linked),
            frozenset(place for place, cause in often if table.rates[cause][at - 1] > 0),
        )
        for at, state in enumerate(table.states)
        if at
    )


def _bad(table: SignTable, cause: int) -> float:
    return 1 - table.given[cause][0]


def pointed(
    sign: str, states: Sequence[StateChances], weights: Sequence[float]
) -> Iterator[Pointer]:
    """Yield what a look points to, where causes have these weights before it.

    States that point to the same causes are told together.
    """
    whole = sum(weights)
    found: dict[tuple[int, ...], Pointer] = {}
    for one in states:
        total, best = _likeliest(one, weights, whole)
        share = sum(joint for joint, _, _ in best)
        if share >= COVERED * total and share >= LEAST_SEEN * whole > 0:
            places = tuple(-place for _, place, _ in best)
            chances = [chance for _, _, chance in best]
            if places in found:
                before = found[places]
                chances = [a + b for a, (_, b) in zip(chances, before.causes, strict=True)]
                names, share = (*before.states, one.state), before.share + share
            else:
                names = (one.state,)
            found[places] = Pointer(sign, names, tuple(zip(places, chances, strict=True)), share)
    yield from found.values()


def _likeliest(
    state: StateChances, weights: Sequence[float], whole: float
) -> tuple[float, list[tuple[float, int, float]]]:
    """Return the share of the units with a state, and the few causes that lead it: the share with
    it, the place, denied for the order, and the chance."""
    unlinked, total, found = whole, 0.0, []
    for place, chance in state.linked:
        weight = weights[place]
        unlinked -= weight
        joint = weight * chance
        total += joint
        if place in state.bringing:
            found.append((joint, -place, chance))
    total += state.anyway * max(unlinked, 0.0)
    return total, [one for one in nlargest(MOST_NAMED, found) if one[0] >= LEAST_NAMED * total]
