"""The planner where a problem is small, late, odd or wrong: access, dead ends, bad numbers."""

from dataclasses import replace
from random import Random

import pytest

from diag.reason.plan import Action, DecisionProblem, Observation, decisive, naming, plan
from diag.reason.plan.reduce import plan_reduced
from diag.reason.plan.rollout import by_repairs, expected_cost
from tests.reason.plan.problems import FAMILIES, random_noisy


def test_access_is_paid_once() -> None:
    """Two checks under one cover cost the cover once; a check that shuts it makes it paid anew."""
    cover = frozenset({"cover"})
    checks = (
        decisive("left", 1.0, (0, 0, 1, 1), opens=cover),
        decisive("right", 1.0, (0, 1, 0, 1), opens=cover),
    )
    problem = naming([1.0] * 4, checks, setup_costs={"cover": 10.0})
    shutting = naming(
        [1.0] * 4, [replace(check, closes=cover) for check in checks], setup_costs={"cover": 10.0}
    )

    assert 12.0 == pytest.approx(plan(problem).expected)
    assert 22.0 == pytest.approx(plan(shutting).expected)
    assert 2.0 == pytest.approx(plan(replace(problem, opened=cover)).expected)


def test_what_is_open_already_is_looked_at_first() -> None:
    """Of two equal checks the one that needs no opening comes first."""
    checks = (
        decisive("a behind the cover", 3.0, (0, 1), opens=frozenset({"cover"})),
        decisive("b in the open", 3.0, (0, 1)),
    )
    problem = naming([1.0, 1.0], checks, setup_costs={"cover": 0.5})

    assert "b in the open" == plan(problem).act.name


def test_giving_up_ends_what_no_repair_cures() -> None:
    """Where nothing cures, the plan is to stop, at the price of giving up."""
    problem = DecisionProblem((1.0,), (), (Action("r", 5.0, frozenset()),), give_up=40.0)
    found = plan(problem)

    assert "stop" == found.act.name
    assert 40.0 == found.expected


def test_a_dead_end_is_refused() -> None:
    """Hypotheses that no check tells apart and no cost of giving up make one clear error."""
    problem = naming([1.0, 1.0], [decisive("idle", 1.0, (0, 0))])

    with pytest.raises(ValueError, match="no order of checks and repairs ends the work; give a"):
        plan(problem)


def test_a_plan_without_a_budget_is_still_a_plan() -> None:
    """With no work allowed, the act is the one-step choice and costs no more than repairing."""
    problem = random_noisy(Random("late"), "unit costs", 8, 4)
    found = plan(problem, budget=0)

    assert found.expected <= expected_cost(problem, by_repairs) * (1 + 1e-12)
    assert not found.exact


def test_small_problems_are_not_narrowed() -> None:
    """A problem within the limits is planned whole."""
    problem = random_noisy(Random("small"), "unit costs", 5, 3)

    assert plan(problem) == plan_reduced(problem)


@pytest.mark.parametrize("family", FAMILIES)
def test_narrowed_act_is_an_act_of_the_whole(family: str) -> None:
    """A narrowed plan names acts by their place in the whole problem, and stays within budget."""
    problem = random_noisy(Random(f"large {family}"), family, 40, 30)
    found = plan_reduced(problem, budget=60)

    for act in (found.act, *(option.act for option in found.runners_up)):
        acts = problem.checks if act.kind.value == "check" else problem.repairs
        assert act.name == acts[act.index].name
    assert not found.exact
    assert found.lower <= found.expected


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (
            lambda: Observation("c", -1.0, ((1.0,),)),
            "check `c`: cost must be a number of minutes, 0 or",
        ),
        (
            lambda: Observation("c", 1.0, ((0.5, 0.4),)),
            "check `c`: chances under hypothesis 0 must be",
        ),
        (lambda: Action("r", 1.0, frozenset(), 0.0), "repair `r`: success must be above 0 and"),
        (
            lambda: DecisionProblem((0.0,), (), ()),
            "weights must be 0 or more, and one of them above 0",
        ),
        (
            lambda: DecisionProblem((1.0,), (), (Action("r", 1.0, frozenset({1})),)),
            "repair `r`: cures a hypothesis that is not there",
        ),
        (
            lambda: naming([1.0, 1.0], [decisive("c", 1.0, (0, 1))] * 2),
            "two checks are called `c`; give each its own name",
        ),
        (
            lambda: naming([1.0, 1.0], [decisive("c", 1.0, (0, 1), opens=frozenset({"lid"}))]),
            "`c` opens `lid`, which has no setup cost",
        ),
    ],
)
def test_bad_numbers_are_refused(make: object, message: str) -> None:
    """Each bad number gets one sentence that says what and where."""
    with pytest.raises(ValueError, match=message):
        make()  # type: ignore[operator]
