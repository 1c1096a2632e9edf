"""Repair without another look: by probability over cost, until handing over is cheaper.

The order of least cost is that of Kadane and Simon, "Optimal strategies for a class of constrained
sequential problems", Ann. Statist. 5 (1977).
"""

from math import inf

from diag.reason.plan.state import STOP_ACT, Model, SearchState


def repairs_only(model: Model, state: SearchState) -> tuple[float, int]:
    """Return the weighted minutes of repairing from here on, and the first act.

    Repairs follow in descending p/c, which is least cost for one fault and repairs that do not
    overlap (Kadane and Simon 1977). Overlap breaks that rule, so after every prefix the line may
    end with a repair that must cure, or by giving up; the cheapest ending counts.
    """
    known = model.repaired.get(state.key)
    if known is None:
        line = _one_by_one if model.one_each else _repair_in_line
        known = model.repaired[state.key] = line(model, state)
    return known


def _one_by_one(model: Model, state: SearchState) -> tuple[float, int]:
    """Do the same where no repair cures two hypotheses and no hypothesis has two repairs.

    Most of the search's time goes here.
    """
    opened, total = state.opened & model.needed_by_repairs, state.total
    left, weights = len(state.weights), state.weights
    end, priced, steps = model.problem.give_up, model.priced, model.steps(opened)
    line = [
        (-(cured := weights[place] * success) / cost if cost else -inf, act, cured)
        for place, act, success, cost in model.line(state)
    ]
    line.sort()
    best, first, spent = end * total, STOP_ACT, 0.0
    for _, act, cured in line:
        price, after, may_fail = steps[act]
        spent += price * total
        total -= cured
        if not may_fail:
            left -= 1
        cost = spent + end * total if left else spent
        if cost < best:
            best, first = cost, line[0][1]
        if after != opened:
            opened = after
            steps = priced.get(after) or model.steps(after)
    return best, first


def _repair_in_line(model: Model, state: SearchState) -> tuple[float, int]:
    weight = dict(zip(state.alive, state.weights, strict=True))
    here = model.costs(state.opened)
    line, endings = _sorted_repairs(model, state, weight, here)
    total, opened, spent, left = state.total, state.opened, 0.0, len(weight)
    end, end_act = _cheapest_end(model, endings, here)
    best, first = end * total, end_act
    for act in line:
        spent += here[act] * total
        repair = model.repairs[act - model.check_count]
        failing = 1.0 - repair.success
        for h in repair.cures:
            mass = weight.get(h, 0.0)
            if mass:
                weight[h] = mass * failing
                total -= mass * repair.success
                left -= not failing
        after = model.opened_after(act, opened)
        if after != opened:
            opened, here = after, model.costs(after)
            end, _ = _cheapest_end(model, endings, here)
        cost = spent + end * total if left else spent
        if cost < best:
            best, first = cost, line[0]
        if not left:
            break
    return best, first


def _cheapest_end(model: Model, endings: list[int], costs: list[float]) -> tuple[float, int]:
    """Return the cheapest way to end the work whatever is wrong, and its minutes."""
    end, end_act = model.problem.give_up, STOP_ACT
    for act in endings:
        if costs[act] < end:
            end, end_act = costs[act], act
    return end, end_act


def _sorted_repairs(
    model: Model, state: SearchState, weight: dict[int, float], costs: list[float]
) -> tuple[list[int], list[int]]:
    """Return the repairs by descending p/c, and those that must cure whatever is left."""
    ranked: list[tuple[float, int]] = []
    endings: list[int] = []
    for act in sorted({act for h in state.alive for act in model.curing[h]}):
        if state.done >> act & 1:
            continue
        repair = model.repairs[act - model.check_count]
        if repair.success == 1 and repair.cures.issuperset(state.alive):
            endings.append(act)
        elif not repair.sure:
            chance = repair.success * sum([weight.get(h, 0.0) for h in repair.cures])
            ranked.append((-chance / costs[act] if costs[act] else -inf, act))
    ranked.sort()
    return [act for _, act in ranked], endings
