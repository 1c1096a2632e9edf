"""Repair without another look: by probability over cost, until handing over is cheaper."""

from math import inf

from diag.reason.plan.state import STOP, Model, State


def repairs_only(model: Model, state: State) -> tuple[float, int]:
    """Return the weighted minutes of repairing from here on, and the first act.

    Repairs follow in descending p/c, which is least cost for one fault and repairs that do not
    overlap (Kadane and Simon 1977). Overlap breaks that rule, so after every prefix the line may
    end with a repair that must cure, or by giving up; the cheapest ending counts.
    """
    known = model.repaired.get(state.key)
    if known is None:
        known = model.repaired[state.key] = _repair_in_line(model, state)
    return known


def _repair_in_line(model: Model, state: State) -> tuple[float, int]:
    costs = model.costs(state.opened)
    line, endings = _sorted_repairs(model, state, costs)
    weight = dict(zip(state.alive, state.weights, strict=True))
    total, opened, spent = state.total, state.opened, 0.0
    best, first, lead = inf, STOP, STOP
    for act in (*line, STOP):
        here = model.costs(opened)
        end, end_act = min(
            [(here[e], e) for e in endings if e != act] + [(model.problem.give_up, STOP)],
            key=lambda pair: pair[0],
        )
        if spent + end * total < best:
            best, first = spent + end * total, end_act if lead == STOP else lead
        if act == STOP:
            break
        repair = model.repairs[act - model.check_count]
        lead = act if lead == STOP else lead
        spent += here[act] * total
        opened = model.opened_after(act, opened)
        for h in repair.cures & weight.keys():
            total -= weight[h] * repair.success
            weight[h] *= 1.0 - repair.success
        if not any(weight.values()):
            return min((best, first), (spent, lead), key=lambda pair: pair[0])
    return best, first


def _sorted_repairs(
    model: Model, state: State, costs: list[float]
) -> tuple[list[int], list[int]]:
    """Return the repairs by descending p/c, and those that must cure whatever is left."""
    ranked: list[tuple[float, int]] = []
    endings: list[int] = []
    weight = dict(zip(state.alive, state.weights, strict=True))
    for number, repair in enumerate(model.repairs):
        act = model.check_count + number
        cured = repair.cures & weight.keys()
        if not cured or state.done >> act & 1:
            continue
        if len(cured) == len(weight) and repair.success == 1:
            endings.append(act)
        elif not repair.sure:
            chance = sum(weight[h] for h in sorted(cured)) * repair.success
            ranked.append((-chance / costs[act] if costs[act] else -inf, act))
    return [act for _, act in sorted(ranked)], endings
