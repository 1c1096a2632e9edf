"""A proved lower bound on the minutes still to come: what no policy whatever can beat.

Huffman's tree as a bound on testing: Pattipati and Alexandridis, "Application of heuristic search
and information theory to sequential fault diagnosis", IEEE Trans. SMC 20 (1990). To join it with
what repairs cost is an idea of ours.
"""

from heapq import heapify, heappop, heapreplace
from itertools import accumulate
from math import inf
from operator import mul

from diag.reason.plan.state import Model, SearchState


def huffman(masses: list[float], branching: int = 2) -> float:
    """Return the least sum of mass times depth over all trees with these leaves (Huffman 1952).

    >>> round(huffman([0.70, 0.01, 0.02, 0.10, 0.05, 0.12]), 2)  # Pattipati, Alexandridis 1990
    1.59
    """
    heap = list(masses)
    heap += [0.0] * (-(len(heap) - 1) % (branching - 1))
    heapify(heap)
    cost = 0.0
    more = range(branching - 1)
    while len(heap) > 1:
        joined = sum([heappop(heap) for _ in more]) + heap[0]
        cost += joined
        heapreplace(heap, joined)
    return cost


class Bound:
    """Bound the value of a state from below.

    Each hypothesis must meet some repair: its cheapest one at least. On top comes the larger of
    two bounds on telling hypotheses apart: the first act followed by free and perfect insight, or
    Huffman's tree over the classes, whose depth costs at least that many of the cheapest acts.
    """

    def __init__(self, model: Model) -> None:
        self._model = model
        checks = model.minutes[: model.check_count]
        tries = [repair.cost for repair in model.repairs if not repair.sure]
        self._shared = [repair for repair in model.repairs if repair.sure or len(repair.cures) > 1]
        self._cheapest_check = min(checks, default=inf)
        self._ladder = [0.0, *accumulate(sorted(checks + tries))]
        self._branching = max([2, *(len(columns) for columns in model.columns)])

    def lower(self, state: SearchState) -> float:
        """Return a cost, weighted as the state is, that no policy from here can undercut."""
        least: float = sum(map(mul, state.weights, state.left.ends))
        if least == inf:
            return inf
        first = self._first_act(state, least)
        return least + max(first, self._depth(state)) if first > 0 else least

    def _first_act(self, state: SearchState, least: float) -> float:
        """Return the least waste of any first act if everything were known after it."""
        model = self._model
        waste = min(self._cheapest_check * state.total, model.problem.give_up * state.total - least)
        total, weight = state.total, state.weights
        for place, cost, success, end in state.left.own:
            wasted = cost * total - success * weight[place] * end
            if wasted < waste:
                waste = wasted
        if self._shared:
            end_cost = model.end_cost
            weights = dict(zip(state.alive, state.weights, strict=True))
            for repair in self._shared:
                if not repair.sure or repair.cures.issuperset(state.alive):
                    cured = sum(weights[h] * end_cost[h] for h in repair.cures if h in weights)
                    waste = min(waste, repair.cost * total - repair.success * cured)
        return max(0.0, waste)

    def _depth(self, state: SearchState) -> float:
        """Return the least waste on acts that come before the one which ends the work.

        A repair that fails tells a class from the rest as a check does, so one level of the tree
        may be the curing repair itself. A hypothesis may also end in a dearer repair together with
        others: each unit of weight doing so saves at most `levels` acts and costs its detour.
        """
        left, branching = state.left, self._branching
        if left.classes < 2:
            return 0.0
        acts = huffman(left.masses(state.weights), branching)
        acts -= 0.0 if self._model.naming_only else state.total
        if acts <= 0:
            return 0.0
        if left.detour == inf:
            return self._climb(acts / state.total) * state.total
        step = self._ladder[1] if len(self._ladder) > 1 else inf
        return acts * min(step, left.detour / left.levels(branching))

    def _climb(self, acts: float) -> float:
        """Return the cost of so many of the cheapest acts, each done once (convex in `acts`)."""
        top = len(self._ladder) - 1
        if acts > top + 1e-9:
            return inf
        whole = min(int(acts), top)
        rest = acts - whole
        return self._ladder[whole] + (
            rest * (self._ladder[whole + 1] - self._ladder[whole]) if whole < top else 0.0
        )
