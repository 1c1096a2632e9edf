"""One-step policies: the peers that a search is measured against, and its rollouts.

A search that values its leaves by a simpler policy is a rollout: Bertsekas, Tsitsiklis and Wu,
"Rollout algorithms for combinatorial optimization", J. Heuristics 3 (1997).
"""

from collections.abc import Callable, Sequence
from math import inf

from diag.reason.belief.information import information_gain
from diag.reason.plan.problem import DecisionProblem
from diag.reason.plan.repair_sequence import repairs_only
from diag.reason.plan.state import STOP_ACT, Model, SearchState, StateKey

Policy = Callable[[Model, SearchState], int]

# Looking for the fault ends when one class of hypotheses holds this share of the belief.
SURE_ENOUGH = 0.95
ROUNDING = 1e-12


def by_repairs(model: Model, state: SearchState) -> int:
    """Repair by probability over cost and never look (Kadane and Simon 1977)."""
    return repairs_only(model, state)[1]


def by_gain(model: Model, state: SearchState) -> int:
    """Do the check of largest information gain until the fault is found, then repair."""
    return _most_informative(model, state, per_cost=False)


def by_gain_per_cost(model: Model, state: SearchState) -> int:
    """Do the check of largest information gain per minute until the fault is found, then repair."""
    return _most_informative(model, state, per_cost=True)


def by_value_of_information(model: Model, state: SearchState) -> int:
    """Do the check that saves most minutes of repairing per minute, if any pays for itself.

    Where repairing blindly is not allowed, gain per minute stands in for what a check saves.
    """
    now, act = repairs_only(model, state)
    if now == inf:
        return by_gain_per_cost(model, state)
    check, _ = _worthiest(model, state, now)
    return act if check == STOP_ACT else check


def by_worth_or_repair(model: Model, state: SearchState) -> int:
    """Go by worth, but try the leading repair first where checking can wait for its failure."""
    now, repair = repairs_only(model, state)
    if now == inf:
        return by_gain_per_cost(model, state)
    check, cost = _worthiest(model, state, now)
    if check == STOP_ACT or repair == STOP_ACT:
        return repair if check == STOP_ACT else check
    failed = model.after_repair(repair, state)
    if failed is None:
        return check
    blind = repairs_only(model, failed)[0]
    later = paid(model, repair, state) + min(blind, _worthiest(model, failed, blind)[1])
    return repair if later < cost * (1 - 1e-12) else check


def _worthiest(model: Model, state: SearchState, now: float) -> tuple[int, float]:
    """Return the check that saves most per minute, and the cost of it and repairing after it."""
    known = model.worthiest.get(state.key)
    if known is not None:
        return known
    telling = model.telling(state)
    if not telling:
        return STOP_ACT, now
    costs = model.costs(state.opened)
    best, act, cost = 0.0, STOP_ACT, now
    least, most = model.least_repairs(state), now * (1 + ROUNDING)
    for check in telling:
        price = costs[check]
        after, rest = price * state.total, least
        children = model.after_check(check, state)
        # However cheap what is left to value turns out, it must be able to beat the best.
        while (most - after - rest) / price >= best - ROUNDING:
            for _, child in children:
                after += repairs_only(model, child)[0]
                rest -= model.least_repairs(child)
                break
            else:
                rate = round((now - after) / price, 12)
                if rate > best:
                    best, act, cost = rate, check, after
                break
    model.worthiest[state.key] = act, cost
    return act, cost


def fixed_order(names: Sequence[str]) -> Policy:
    """Return the policy that goes down a list of check and repair names, skipping idle ones.

    A check is idle when it can tell nothing more or one class is left; a repair when nothing that
    it cures is left. Past the end of the list, repair by probability over cost.
    """

    def policy(model: Model, state: SearchState) -> int:
        places = {model.public(act).name: act for act in _acts(model)}
        one_class = len(model.masses(state)) == 1
        for name in names:
            act = places.get(name, STOP_ACT)
            if act == STOP_ACT:
                continue
            if act < model.check_count:
                if not one_class and model.tells(act, state):
                    return act
            elif model.may_repair(act, state):
                return act
        return repairs_only(model, state)[1]

    return policy


def gains(problem: DecisionProblem) -> tuple[float, ...]:
    """Return each check's information gain about the class of repair, in bits (Quinlan 1986)."""
    model = Model(problem)
    found = [0.0] * len(problem.checks)
    for check in range(model.check_count):
        place = model.public(check).index
        found[place] = _gain(model, check, model.root) / model.root.total
    return tuple(found)


def check_promise(problem: DecisionProblem) -> tuple[float, ...]:
    """Return what each check promises per minute: minutes of repairing saved, or else bits."""
    model = Model(problem)
    root = model.root
    now, costs = repairs_only(model, root)[0], model.costs(root.opened)
    found = [0.0] * len(problem.checks)
    for check in range(model.check_count):
        if now < inf:
            after = sum(
                repairs_only(model, child)[0] for _, child in model.after_check(check, root)
            )
            saved = now - after
        else:
            saved = _gain(model, check, root)
        found[model.public(check).index] = saved / costs[check]
    return tuple(found)


def expected_cost(problem: DecisionProblem, policy: Policy) -> float:
    """Return a policy's expected minutes by going through its whole tree."""
    model = Model(problem)
    known: dict[StateKey, float] = {}

    def value(state: SearchState) -> float:
        if state.key not in known:
            act = policy(model, state)
            known[state.key] = paid(model, act, state) + sum(
                value(child) for child in follow(model, act, state)
            )
        return known[state.key]

    return value(model.root) / model.root.total


def paid(model: Model, act: int, state: SearchState) -> float:
    """Return the weighted minutes of doing the act here."""
    if act == STOP_ACT:
        return model.problem.give_up * state.total
    return model.costs(state.opened)[act] * state.total


def follow(model: Model, act: int, state: SearchState) -> list[SearchState]:
    """Return the states in which work still goes on after the act."""
    if act == STOP_ACT:
        return []
    if act < model.check_count:
        return [child for _, child in model.after_check(act, state)]
    child = model.after_repair(act, state)
    return [] if child is None else [child]


def _most_informative(model: Model, state: SearchState, per_cost: bool) -> int:
    masses = model.masses(state)
    settled = len(masses) == 1 or (
        not model.naming_only and max(masses) >= SURE_ENOUGH * state.total
    )
    checks = [] if settled else model.telling(state)
    if not checks:
        return repairs_only(model, state)[1]
    costs = model.costs(state.opened)

    def promise(check: int) -> tuple[float, float, float, int]:
        unit = costs[check] if per_cost else 1.0
        gain = _gain(model, check, state) / unit
        # Two checks may tell classes apart only together: then any insight is better than none.
        finer = (
            0.0
            if gain > 1e-12
            else information_gain(
                state.weights, (child.weights for _, child in model.after_check(check, state))
            )
        )
        return (-round(gain, 12), -round(finer / unit, 12), costs[check], check)

    return min(map(promise, checks))[-1]


def _gain(model: Model, check: int, state: SearchState) -> float:
    """Return the bits that a check tells of the class of repair, times the state's weight."""
    after = (model.masses(child) for _, child in model.after_check(check, state))
    return information_gain(model.masses(state), after)


def _acts(model: Model) -> range:
    return range(model.check_count + len(model.repairs))
