"""Exact answers for small problems: every first act's cost, and the whole policy as a tree.

An optimal policy read off a solved AND/OR graph (Martelli and Montanari 1973).
"""

from math import inf

from diag.reason.plan.node import SearchNode
from diag.reason.plan.problem import DecisionProblem, Option, Step
from diag.reason.plan.repair_sequence import repairs_only
from diag.reason.plan.rollout import paid
from diag.reason.plan.search import Search
from diag.reason.plan.state import STOP_ACT, SearchState


def first_act_costs(problem: DecisionProblem) -> tuple[Option, ...]:
    """Return the exact expected minutes of every act done first, best first."""
    search = Search(problem)
    for option in search.options(search.root):
        for child in option.children:
            search.deepen(child)
    total = search.root.state.total
    return tuple(
        Option(search.model.public(act), value / total) for value, act in search.ranked(search.root)
    )


def policy_tree(problem: DecisionProblem, budget: float = inf, least_share: float = 0.0) -> Step:
    """Return the whole policy, each act with its share of all cases and the minutes to come.

    Branches rarer than `least_share` are repaired without another look, where that is allowed.
    `budget` is that of `plan`, shared by the whole tree.
    """
    search = Search(problem, budget)
    search.deepen(search.root)
    return _step(search, search.root, least_share * search.root.state.total)


def _step(search: Search, node: SearchNode, least: float) -> Step:
    search.rollout(node)
    search.deepen(node)
    search.settle_ties(node)
    act = node.act
    if node.state.total < least:
        value, blind = repairs_only(search.model, node.state)
        act = blind if value < inf else act
    elif node.solved or not search.spent():
        act = search.ranked(node)[0][1]
    branches = tuple(
        (outcome, _step(search, search.node(state), least))
        for outcome, state in _outcomes(search, act, node.state)
    )
    share = node.state.total / search.root.state.total
    price = paid(search.model, act, node.state) / node.state.total
    to_come = price + sum(step.expected * step.share for _, step in branches) / share
    return Step(search.model.public(act), share, to_come, branches)


def _outcomes(search: Search, act: int, state: SearchState) -> list[tuple[int, SearchState]]:
    if act == STOP_ACT:
        return []
    if act < search.model.check_count:
        return list(search.model.after_check(act, state))
    failed = search.model.after_repair(act, state)
    return [] if failed is None else [(0, failed)]
