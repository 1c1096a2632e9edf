"""How often each act is done under the plan in hand: what it takes can be told in any measure.

A policy read off an AND/OR graph (Martelli and Montanari 1973), walked with the weight that gets
to each state; rare states are ended by repairs alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from diag.reason.plan.problem import DecisionProblem
from diag.reason.plan.reduce import part_that_matters
from diag.reason.plan.repair_sequence import repairs_only
from diag.reason.plan.rollout import follow
from diag.reason.plan.search import Search
from diag.reason.plan.state import STOP_ACT, SearchState

RARE = 0.01
"""Share of all cases below which no check is followed any more."""
LEAST = 1e-4


def how_often(
    problem: DecisionProblem, budget: float, *, hypotheses: int, checks: int, rare: float = RARE
) -> Mapping[str, float]:
    """Return how often each act is expected to be done, and each thing opened, by name.

    The plan is that of `plan_reduced` with the same arguments; to stop is an act, too. States of a
    share below `rare` end by repairs alone, and those of next to none are left out.
    """
    small = part_that_matters(problem, hypotheses=hypotheses, checks=checks)
    search = Search(small, budget)
    search.deepen(search.root)
    search.settle_ties(search.root)
    model, total = search.model, search.root.state.total
    keys = sorted(problem.setup_costs)
    found, waiting = dict[str, float](), [search.root.state]
    while waiting:
        state = waiting.pop()
        share = state.total / total
        if share < min(LEAST, rare):
            continue
        act = _act(search, state, share < rare)
        new = 0 if act == STOP_ACT else model.needs[act] & ~state.opened
        opened = [key for place, key in enumerate(keys) if new >> place & 1]
        for name in (model.public(act).name, *opened):
            found[name] = found.get(name, 0.0) + share
        waiting += follow(model, act, state)
    return found


def _act(search: Search, state: SearchState, blind: bool) -> int:
    node = search.node(state)
    known = not blind and node.upper < inf
    return node.act if known else repairs_only(search.model, state)[1]
