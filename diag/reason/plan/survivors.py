"""The hypotheses left in a state of the search, with all that follows from which they are.

States by the hundred share their survivors, so that this is laid out once for all of them, which is
an idea of ours. Nothing here leads back to the model: what leads in a circle would lie about until
it is collected.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil, log
from typing import NamedTuple

OwnRepair = tuple[int, float, float, float]
"""A hypothesis' place, the minutes and the success of a repair that cures it alone, and the
minutes of its cheapest end."""
OpenRepair = tuple[int, int, float, float]
"""A hypothesis' place, and the repair that may still be tried: its act, success and minutes."""


class CheckOutcome(NamedTuple):
    """One outcome of a check: its number, and its chances under those whom it leaves.

    `left` is None where it leaves all; else `places` are theirs among the survivors before it.
    """

    number: int
    chances: tuple[float, ...]
    places: tuple[int, ...] = ()
    left: Survivors | None = None


@dataclass(eq=False, slots=True)
class Survivors:
    """One set of hypotheses left; a model holds one object for each, which stands for the set."""

    hypotheses: tuple[int, ...]
    telling: list[int]
    """The checks that can shift belief between them."""
    floor: list[float]
    """Minutes that repairing each without another look cannot undercut."""
    ends: list[float]
    """Minutes of each one's cheapest end."""
    homes: list[int]
    """The repair that is each one's cheapest end, -1 for giving up: those of one form a class."""
    detour: float
    """How much dearer the next best end is, at least."""
    own: list[OwnRepair]
    lines: dict[tuple[int, int], list[OpenRepair]] = field(default_factory=dict)
    """Repairs that may still be tried, by the noisy acts done and by what is open."""
    outcomes: dict[int, list[CheckOutcome]] = field(default_factory=dict)
    """Check to the outcomes that it may have among them, laid out when it is first made."""
    classes: int = 0
    """How many classes there are."""

    def __post_init__(self) -> None:
        self.classes = len(set(self.homes))

    def levels(self, branching: int) -> int:
        """Return how many acts deep a tree is at least that tells the classes apart."""
        return ceil(log(self.classes) / log(branching) - 1e-9)

    def masses(self, weights: Sequence[float]) -> list[float]:
        """Return the weight left in each class of hypotheses that share their cheapest repair."""
        if self.classes == len(self.homes):
            return list(weights)
        sums: dict[int, float] = {}
        for home, weight in zip(self.homes, weights, strict=True):
            sums[home] = sums.get(home, 0.0) + weight
        return list(sums.values())
