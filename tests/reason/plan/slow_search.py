"""A slow, obvious search to hold the fast one against: every act in every state, no bounds."""

from functools import cache
from math import inf

from diag.reason.plan import DecisionProblem


def least_cost(problem: DecisionProblem) -> float:
    """Return the least expected minutes by trying everything, with beliefs renormalised."""
    everything = tuple(range(len(problem.weights)))
    total = sum(problem.weights)

    @cache
    def value(
        belief: tuple[float, ...],
        checked: frozenset[int],
        tried: frozenset[int],
        open_: frozenset[str],
    ) -> float:
        if not any(belief):
            return 0.0
        best = problem.give_up
        for i, check in enumerate(problem.checks):
            if i not in checked:
                cost = price(check, open_)
                for outcome in range(len(check.likelihood[0])):
                    joint = [belief[h] * check.likelihood[h][outcome] for h in everything]
                    chance = sum(joint)
                    if chance > 0:
                        after = tuple(round(x / chance, 14) for x in joint)
                        left = (open_ | check.opens) - check.closes
                        cost += chance * value(after, checked | {i}, tried, left)
                best = min(best, cost)
        for i, repair in enumerate(problem.repairs):
            alive = {h for h in everything if belief[h] > 0}
            if i in tried or (repair.sure and not alive <= repair.cures):
                continue
            joint = [
                belief[h] * (1 - repair.success if h in repair.cures else 1.0) for h in everything
            ]
            failed = sum(joint)
            cost = price(repair, open_)
            if failed > 1e-12:
                after = tuple(round(x / failed, 14) for x in joint)
                left = (open_ | repair.opens) - repair.closes
                cost += failed * value(after, checked, tried | {i}, left)
            best = min(best, cost)
        return best

    def price(act: object, open_: frozenset[str]) -> float:
        return act.cost + sum(problem.setup_costs[key] for key in act.opens - open_)  # type: ignore[attr-defined]

    start = tuple(weight / total for weight in problem.weights)
    found = value(start, frozenset(), frozenset(), problem.opened)
    assert found < inf
    return found
