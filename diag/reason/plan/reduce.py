"""Cut a large problem down to the hypotheses and checks that matter for the next act.

To lump the hypotheses that weigh little as one that repairs end is an idea of ours.
"""

from dataclasses import replace
from math import inf

from diag.model.frozen import frozen
from diag.reason.plan.problem import (
    Act,
    Action,
    ActKind,
    DecisionProblem,
    Observation,
    Option,
    Plan,
)
from diag.reason.plan.repair_sequence import repairs_only
from diag.reason.plan.rollout import check_promise
from diag.reason.plan.search import MANY_HISTORIES, plan
from diag.reason.plan.state import Model

# Up to this size, a problem with few noisy acts is searched whole within some 100 ms.
WHOLE_HYPOTHESES = 16
WHOLE_CHECKS = 24


@frozen
class ReducedProblem:
    """Hold a smaller problem and, for its checks and repairs, their places in the whole one.

    The last hypothesis stands for all that were left out. Its own repair is the last one, costs
    what repairing them blindly costs, and begins with `rest`, an act of the whole problem.
    """

    problem: DecisionProblem
    checks: tuple[int, ...]
    repairs: tuple[int, ...]
    rest: Act | None

    def whole(self, act: Act) -> Act:
        """Return an act of the small problem as an act of the whole one."""
        if act.kind is ActKind.CHECK:
            return replace(act, index=self.checks[act.index])
        if act.kind is ActKind.REPAIR:
            if act.index < len(self.repairs):
                return replace(act, index=self.repairs[act.index])
            assert self.rest is not None
            return self.rest
        return act


def reduce(problem: DecisionProblem, share: float, hypotheses: int, checks: int) -> ReducedProblem:
    """Keep the heaviest hypotheses, up to `share` of the weight, and the most promising checks.

    At most `hypotheses` are kept as they are; the rest become one, with their mean chances.
    """
    order = sorted(range(len(problem.weights)), key=lambda h: (-problem.weights[h], h))
    total, held, kept = sum(problem.weights), 0.0, list[int]()
    for h in order:
        if held >= share * total or len(kept) == hypotheses or not problem.weights[h]:
            break
        kept.append(h)
        held += problem.weights[h]
    kept.sort()
    rest = [h for h in order if h not in set(kept) and problem.weights[h] > 0]
    small, repairs, first = _lump(problem, kept, rest)
    promise = check_promise(small)
    best = sorted(range(len(small.checks)), key=lambda i: (-promise[i], small.checks[i].name))[
        :checks
    ]
    best.sort()
    small = replace(small, checks=tuple(small.checks[i] for i in best))
    return ReducedProblem(small, tuple(best), repairs, first)


def plan_reduced(
    problem: DecisionProblem,
    budget: float = inf,
    *,
    alternatives: int = 2,
    share: float = 0.99,
    hypotheses: int = 10,
    checks: int = 8,
) -> Plan:
    """Plan as `plan` does, on the part of a large problem that matters for the next act.

    The expected minutes and the bound are those of the smaller problem: an estimate for the whole.
    A problem that can be searched whole is planned as it stands. Give a budget:
    without one, even the smaller problem may take very long.
    """
    if _fits(problem):
        return plan(problem, budget, alternatives)
    small = reduce(problem, share, hypotheses, checks)
    found = plan(small.problem, budget, alternatives)
    return replace(
        found,
        act=small.whole(found.act),
        runners_up=tuple(
            Option(small.whole(option.act), option.expected) for option in found.runners_up
        ),
        exact=False,
    )


def part_that_matters(
    problem: DecisionProblem, *, hypotheses: int, checks: int, share: float = 0.99
) -> DecisionProblem:
    """Return what `plan_reduced` searches: the problem as it stands where that can be."""
    fits = _fits(problem)
    return problem if fits else reduce(problem, share, hypotheses, checks).problem


def _fits(problem: DecisionProblem) -> bool:
    left = [h for h, weight in enumerate(problem.weights) if weight > 0]
    if len(left) > WHOLE_HYPOTHESES:
        return False
    telling = [one for one in problem.checks if len({one.likelihood[h] for h in left}) > 1]
    return len(telling) <= WHOLE_CHECKS and Model(problem).histories <= MANY_HISTORIES


def _lump(
    problem: DecisionProblem, kept: list[int], rest: list[int]
) -> tuple[DecisionProblem, tuple[int, ...], Act | None]:
    places = {h: place for place, h in enumerate(kept)}
    weights = tuple(problem.weights[h] for h in kept)
    mass = sum(problem.weights[h] for h in rest)
    shares = [problem.weights[h] / mass for h in rest] if rest else []
    repairs: list[Action] = []
    chosen: list[int] = []
    for index, repair in enumerate(problem.repairs):
        cures = {places[h] for h in repair.cures if h in places}
        if rest and repair.cures.issuperset(rest):
            cures.add(len(kept))
        if cures:
            repairs.append(replace(repair, cures=frozenset(cures)))
            chosen.append(index)
    first = None
    if rest:
        weights = (*weights, mass)
        own, first = _repair_of_rest(problem, rest, mass, len(kept))
        repairs += own
    checks = tuple(
        Observation(
            check.name, check.cost, _rows(check, kept, rest, shares), check.opens, check.closes
        )
        for check in problem.checks
    )
    small = replace(problem, weights=weights, checks=checks, repairs=tuple(repairs))
    return small, tuple(chosen), first


def _rows(
    check: Observation, kept: list[int], rest: list[int], shares: list[float]
) -> tuple[tuple[float, ...], ...]:
    rows = tuple(check.likelihood[h] for h in kept)
    if not rest:
        return rows
    columns = zip(*(check.likelihood[h] for h in rest), strict=True)
    mean = [
        sum(share * chance for share, chance in zip(shares, column, strict=True))
        for column in columns
    ]
    return (*rows, tuple(mean))


def _repair_of_rest(
    problem: DecisionProblem, rest: list[int], mass: float, place: int
) -> tuple[list[Action], Act | None]:
    """Return a repair that stands for working through the rest, and the act that it begins with.

    Where only naming counts there is no such work: naming the rest as one class costs nothing.
    """
    name = "the rest"
    while any(repair.name == name for repair in problem.repairs):
        name += " of all"
    if all(repair.sure for repair in problem.repairs):
        return [Action(name, 0.0, frozenset({place}), sure=True)], None
    left = set(rest)
    weights = tuple(weight if h in left else 0.0 for h, weight in enumerate(problem.weights))
    model = Model(replace(problem, weights=weights, checks=()))
    cost, act = repairs_only(model, model.root)
    if cost == inf or model.public(act).kind is ActKind.STOP:
        return [], None
    return [Action(name, cost / mass, frozenset({place}))], model.public(act)
