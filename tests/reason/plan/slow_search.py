"""A slow, obvious search to hold the fast one against: every act in every state, no bounds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from math import inf

from diag.reason.plan import Action, DecisionProblem, Observation

Shape = tuple[object, ...]
"""The act that is best and, for each outcome of it, what is best then; `stop` alone to give up."""
Value = Callable[
    [tuple[float, ...], frozenset[int], frozenset[int], frozenset[str]], tuple[float, Shape]
]
NOTICED = 1e-9
"""Minutes by which an act must be better to come before one that was tried earlier."""


def least_cost(problem: DecisionProblem) -> float:
    """Return the least expected minutes by trying everything, with beliefs renormalised."""
    none = frozenset[int]()
    found, _ = _searched(problem)(_start(problem), none, none, problem.opened)
    assert found < inf
    return found


def best_after(problem: DecisionProblem, check: str) -> Iterator[Shape]:
    """Yield what is best after each outcome of a check done first, with all others still open."""
    value, none = _searched(problem), frozenset[int]()
    names = [one.name for one in problem.checks]
    at = names.index(check)
    made = problem.checks[at]
    left = (problem.opened | made.opens) - made.closes
    for after, _ in _outcomes(_start(problem), made):
        yield value(after, frozenset({at}), none, left)[1]


def _start(problem: DecisionProblem) -> tuple[float, ...]:
    total = sum(problem.weights)
    return tuple(weight / total for weight in problem.weights)


def _outcomes(
    belief: tuple[float, ...], check: Observation
) -> Iterator[tuple[tuple[float, ...], float]]:
    """Yield the belief after each outcome that can come, with its chance."""
    for column in zip(*check.likelihood, strict=True):
        joint = [held * shown for held, shown in zip(belief, column, strict=True)]
        chance = sum(joint)
        if chance > 0:
            yield tuple(round(x / chance, 14) for x in joint), chance


def _searched(problem: DecisionProblem) -> Value:
    """Return the least expected minutes from any state on, and the policy that has them."""

    @cache
    def value(
        belief: tuple[float, ...],
        checked: frozenset[int],
        tried: frozenset[int],
        open_: frozenset[str],
    ) -> tuple[float, Shape]:
        if not any(belief):
            return 0.0, ()
        best: tuple[float, Shape] = (problem.give_up, ("stop",))
        for i, check in enumerate(problem.checks):
            if i not in checked:
                cost, shapes = price(check, open_), list[Shape]()
                left = (open_ | check.opens) - check.closes
                for after, chance in _outcomes(belief, check):
                    below, shape = value(after, checked | {i}, tried, left)
                    cost += chance * below
                    shapes.append(shape)
                best = better(best, cost, (check.name, *shapes))
        for i, repair in enumerate(problem.repairs):
            alive = {h for h, held in enumerate(belief) if held > 0}
            if i in tried or (repair.sure and not alive <= repair.cures):
                continue
            joint = [
                held * (1 - repair.success if h in repair.cures else 1.0)
                for h, held in enumerate(belief)
            ]
            failed, cost, after_it = sum(joint), price(repair, open_), list[Shape]()
            if failed > 1e-12:
                after = tuple(round(x / failed, 14) for x in joint)
                left = (open_ | repair.opens) - repair.closes
                below, shape = value(after, checked, tried | {i}, left)
                cost += failed * below
                after_it.append(shape)
            best = better(best, cost, (repair.name, *after_it))
        return best

    def better(best: tuple[float, Shape], cost: float, shape: Shape) -> tuple[float, Shape]:
        return (cost, shape) if cost < best[0] - NOTICED else best

    def price(act: Action | Observation, open_: frozenset[str]) -> float:
        return act.cost + sum(problem.setup_costs[key] for key in act.opens - open_)

    return value
