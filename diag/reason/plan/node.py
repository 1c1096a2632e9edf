"""A state in the search, with the interval in which its cost lies, and the acts that leave it.

The interval of a state is that of an AND/OR search with bounds (Martelli and Montanari 1973).
"""

from __future__ import annotations

from math import inf

from diag.reason.plan.state import STOP_ACT, SearchState


class SearchNode:
    """Hold what is known of one state: its interval, the best act so far, and its options."""

    __slots__ = ("act", "depth", "lower", "options", "state", "upper", "walked")

    def __init__(self, state: SearchState, lower: float) -> None:
        self.state = state
        self.lower = lower
        self.upper = inf
        self.act = STOP_ACT
        self.options: list[Branching] | None = None
        self.depth = 0
        self.walked = 0

    @property
    def solved(self) -> bool:
        """Report whether nothing better than the best known policy can exist."""
        return self.lower >= self.upper * (1 - 1e-11)

    def offer(self, value: float, act: int) -> None:
        """Take a policy's value and first act if it beats the best one known."""
        if value < self.upper:
            self.upper, self.act = value, act


class Branching:
    """Hold one act of a state: what it costs at once and the states that may follow."""

    __slots__ = ("act", "children", "paid")

    def __init__(self, act: int, price: float, children: list[SearchNode]) -> None:
        self.act = act
        self.paid = price
        self.children = children

    def lower(self) -> float:
        """Return a proved lower bound of doing this act first."""
        cost = self.paid
        for child in self.children:
            cost += child.lower
        return cost

    def upper(self) -> float:
        """Return the cost of doing this act first and going on by the best policies known."""
        cost = self.paid
        for child in self.children:
            cost += child.upper
        return cost
