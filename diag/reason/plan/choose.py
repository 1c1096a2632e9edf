"""The next check: the act of least expected minutes to a proved repair.

The aim is that of Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", CACM 38
(1995): least expected cost of repair, with looks and repairs in one plan.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from diag.model.frozen import frozen
from diag.model.rulebook import Check, Rulebook
from diag.reason.plan import ActKind, DecisionProblem, Option, plan_reduced
from diag.reason.plan.decision_problem import Outlook, build_problem, price_of_trust
from diag.reason.plan.often import how_often
from diag.reason.plan.rollout import gains
from diag.reason.plan.state import LEAST_COST

BUDGET = 80
"""States that the planner looks at: some 40 ms, and the same choice on every machine."""
HYPOTHESES, CHECKS = 10, 8
RUNNERS_UP = 2
LONG_NEED = 10.0
"""Minutes from which bringing a need about is to wait for it, as for a thing to cool."""


@frozen
class Ranked:
    """An act with the expected minutes to a proved repair when it is done first."""

    kind: str
    name: str
    expected: float


@frozen
class Choice:
    """The best act, those that come next, and the check that tells most where one is wanted."""

    best: Ranked
    runners_up: tuple[Ranked, ...]
    telling: str
    """The check of most bits a minute among those that may change what seems to be wrong; empty
    when there is none."""


def choose(outlook: Outlook) -> Choice:
    """Choose the next act of least expected minutes."""
    problem = build_problem(outlook)
    found = plan_reduced(
        problem, BUDGET, alternatives=RUNNERS_UP, hypotheses=HYPOTHESES, checks=CHECKS
    )
    trust = price_of_trust(outlook.rulebook, outlook.belief.remaining(), outlook.proof_failed)
    best, *others = [
        Ranked(option.act.kind.value, option.act.name, max(0.0, option.expected - trust))
        for option in (Option(found.act, found.expected), *found.runners_up)
    ]
    telling = "" if best.kind == ActKind.CHECK.value else _telling(outlook.rulebook, problem)
    return Choice(best, tuple(others), telling)


@frozen
class TimeAhead:
    """What is expected from here to a proved repair: minutes of work and of waiting, parts in
    minutes of the shop's time, and how often checks make each shared run."""

    work: float
    waiting: float
    parts: float
    runs: Mapping[str, float] = field(default_factory=dict)


def time_ahead(outlook: Outlook) -> TimeAhead:
    """Return the time that the plan of `choose` takes as people tell it, by how often it does what.

    Prices of trust and of starts are in no minute of it; the run that proves a repair is.
    """
    rulebook, offered = outlook.rulebook, {one.check.id: one.check for one in outlook.offers}
    problem = build_problem(outlook)
    often = how_often(problem, BUDGET, hypotheses=HYPOTHESES, checks=CHECKS)
    needs, closing = rulebook.scales.needs, rulebook.scales.settings.proof_run_minutes
    work = waiting = parts = 0.0
    runs = dict[str, float]()
    for name, times in often.items():
        if name in problem.setup_costs:
            waits = name in needs and needs[name] >= LONG_NEED
            work += 0.0 if waits else times * problem.setup_costs[name]
            waiting += times * problem.setup_costs[name] if waits else 0.0
            continue
        if name == ActKind.STOP.value:
            continue
        cause = rulebook.causes.get(name)
        act = offered.get(name) or (cause.repair if cause else None)
        for run in {act.run, *act.uses} - {""} if isinstance(act, Check) else ():
            runs[run] = runs.get(run, 0.0) + times
        work += times * ((act.minutes if act else 0.0) + (closing if name not in offered else 0.0))
        waiting += times * (act.waits if act else 0.0)
        parts += times * (sum(cause.repair.parts.values()) if cause else 0.0)
    return TimeAhead(work, waiting, parts, runs)


def _telling(rulebook: Rulebook, problem: DecisionProblem) -> str:
    """Return the check of most bits a minute of those that may change what seems to be wrong."""
    enough = rulebook.scales.settings.found_at
    before = _leading(problem.weights, enough)
    rates = []
    for bits, check in zip(gains(problem), problem.checks, strict=True):
        setup = sum(problem.setup_costs[key] for key in check.opens - problem.opened)
        rates.append((bits / max(check.cost + setup, LEAST_COST), check))
    rates.sort(key=lambda one: (-one[0], one[1].name))
    for rate, check in rates:
        for column in zip(*check.likelihood, strict=True):
            after = [w * chance for w, chance in zip(problem.weights, column, strict=True)]
            if rate > 0 and _leading(after, enough) != before:
                return check.name
    return ""


def _leading(weights: Iterable[float], enough: float) -> tuple[int, bool]:
    """Return which hypothesis leads, and whether it is likely enough to be called found."""
    held = tuple(weights)
    first = max(range(len(held)), key=lambda h: held[h])
    return first, held[first] >= enough * sum(held)
