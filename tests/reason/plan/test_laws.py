"""Laws of the planner on random problems, against a slow search that tries everything."""

from dataclasses import replace
from math import inf
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.reason.plan import Observation, Plan, Step, plan
from diag.reason.plan.bound import Bound
from diag.reason.plan.often import how_often
from diag.reason.plan.repair_sequence import _one_by_one, _repair_in_line
from diag.reason.plan.rollout import (
    by_gain,
    by_gain_per_cost,
    by_repairs,
    by_value_of_information,
    expected_cost,
)
from diag.reason.plan.state import Model
from diag.reason.plan.tree import first_act_costs, policy_tree
from tests.reason.plan.problems import FAMILIES, random_mixed, random_naming, random_noisy
from tests.reason.plan.slow_search import best_after, least_cost

seeds = st.integers(0, 2**32 - 1)
few = settings(max_examples=40)


@given(seeds)
@few
def test_plan_equals_trying_everything(seed: int) -> None:
    """With access, noise, failing and overlapping repairs, the plan costs what no policy beats."""
    problem = random_mixed(Random(seed))
    found = plan(problem)

    assert found.exact
    # A free check is priced at a millionth of a minute, so at most three of those may differ.
    assert least_cost(problem) == pytest.approx(found.expected, rel=1e-7, abs=5e-6)


@given(seeds)
@few
def test_bound_never_passes_the_optimum(seed: int) -> None:
    """The lower bound of the first state is a lower bound."""
    problem = random_mixed(Random(seed))
    model = Model(problem)

    bound = Bound(model).lower(model.root) / model.root.total
    assert bound <= least_cost(problem) + 5e-6


@given(seeds, st.sampled_from(FAMILIES))
@settings(max_examples=30)
def test_naming_equals_trying_everything(seed: int, family: str) -> None:
    """Naming one of five hypotheses costs what no tree of checks beats."""
    problem = random_naming(Random(seed), family, size=5)
    problem = replace(problem, checks=problem.checks[:6])
    if len({tuple(c.likelihood[h] for c in problem.checks) for h in range(5)}) < 5:
        return

    assert least_cost(problem) == pytest.approx(plan(problem).expected, rel=1e-7)


@pytest.mark.parametrize("family", FAMILIES)
def test_small_budget_is_close_to_the_optimum(family: str) -> None:
    """On 8 to 12 hypotheses, 200 states looked at come within 0.2 % in the mean, 3 % at worst."""
    random = Random(f"naming {family}")
    ratios = []
    for _ in range(10):
        problem = random_naming(random, family)
        best = plan(problem, alternatives=0).expected
        ratios.append(plan(problem, budget=200, alternatives=0).expected / best)

    assert sum(ratios) / len(ratios) <= 1.002
    assert max(ratios) <= 1.03


@pytest.mark.parametrize("family", FAMILIES)
def test_small_budget_is_close_under_noise(family: str) -> None:
    """With noisy checks of three outcomes, 200 states come within 0.2 % mean, 3 % worst."""
    random = Random(f"noisy {family}")
    ratios = []
    for _ in range(10):
        problem = random_noisy(random, family, 6, 2)
        best = plan(problem, alternatives=0).expected
        ratios.append(plan(problem, budget=200, alternatives=0).expected / best)

    assert sum(ratios) / len(ratios) <= 1.002
    assert max(ratios) <= 1.03


@given(seeds, st.sampled_from(FAMILIES), st.booleans())
@settings(max_examples=15)
def test_more_work_is_never_worse(seed: int, family: str, noisy: bool) -> None:
    """The plan's expected minutes never rise with the budget, nor pass those of one-step worth."""
    random = Random(seed)
    problem = random_noisy(random, family, 5, 3) if noisy else random_naming(random, family, 7)

    found = [plan(problem, budget=budget).expected for budget in (1, 20, 80, 300)]
    assert sorted(found, reverse=True) == found
    assert found[0] <= expected_cost(problem, by_value_of_information) * (1 + 1e-12)


@given(seeds, st.sampled_from(FAMILIES))
@settings(max_examples=10)
def test_exact_plan_beats_every_simple_policy(seed: int, family: str) -> None:
    """No simple policy undercuts the exact plan."""
    problem = random_noisy(Random(seed), family, 5, 3)
    best = plan(problem).expected

    for policy in (by_gain, by_gain_per_cost, by_value_of_information, by_repairs):
        assert best <= expected_cost(problem, policy) * (1 + 1e-12)


@given(seeds, st.randoms(use_true_random=False))
@few
def test_order_of_checks_and_repairs_is_nothing(seed: int, shuffler: Random) -> None:
    """Shuffling checks and repairs changes neither the act nor its cost."""
    problem = random_mixed(Random(seed))
    checks, repairs = list(problem.checks), list(problem.repairs)
    shuffler.shuffle(checks)
    shuffler.shuffle(repairs)
    shuffled = replace(problem, checks=tuple(checks), repairs=tuple(repairs))

    assert _told(plan(problem)) == _told(plan(shuffled))
    assert _told(plan(problem, budget=10)) == _told(plan(shuffled, budget=10))


@given(seeds, st.sampled_from(("a useless check", "zz useless")), st.floats(0.05, 0.95))
@few
def test_a_free_useless_check_changes_nothing(seed: int, name: str, chance: float) -> None:
    """A check that shows the same under every hypothesis is as good as absent, though free."""
    problem = random_mixed(Random(seed))
    row = (chance, 1 - chance)
    useless = Observation(name, 0.0, (row,) * len(problem.weights))
    wider = replace(problem, checks=(*problem.checks, useless))

    assert _told(plan(problem)) == _told(plan(wider))
    assert _told(plan(problem, budget=10)) == _told(plan(wider, budget=10))


@given(seeds, st.floats(0.01, 20), st.booleans())
@few
def test_a_dearer_check_is_never_chosen_earlier(seed: int, extra: float, noisy: bool) -> None:
    """If a check is not the first act, raising its cost does not make it so."""
    random = Random(seed)
    problem = random_mixed(random) if noisy else random_naming(random, "uniform costs", 6)
    first = plan(problem).act.name
    dear = random.randrange(len(problem.checks))
    name = problem.checks[dear].name
    checks = tuple(
        replace(check, cost=check.cost + extra) if i == dear else check
        for i, check in enumerate(problem.checks)
    )

    after = plan(replace(problem, checks=checks)).act.name
    assert first == name or after != name


@given(seeds)
@few
def test_no_check_follows_whose_answer_changes_nothing(seed: int) -> None:
    """In an exact policy, the outcomes of a check never all lead to the same further acts."""

    def shape(step: Step) -> object:
        return (step.act.name, tuple((outcome, shape(below)) for outcome, below in step.branches))

    def look(step: Step) -> None:
        shapes = {shape(below) for _, below in step.branches}
        if step.act.kind.value == "check":
            assert 1 < len(shapes)
        for _, below in step.branches:
            look(below)

    look(policy_tree(random_mixed(Random(seed))))


@given(seeds, st.sampled_from((2, 10, 80)))
@settings(max_examples=120, deadline=None)
def test_no_check_is_offered_whose_answers_lead_to_the_same(seed: int, budget: int) -> None:
    """Within any budget, what is best after the outcomes of the check that comes first, with the
    checks still open after it, is not the same for all of them."""
    problem = random_mixed(Random(seed))
    first = plan(problem, budget=budget).act
    if first.kind.value == "check":
        assert 1 < len(set(best_after(problem, first.name)))


@given(seeds)
@few
def test_tree_costs_what_the_plan_says(seed: int) -> None:
    """The whole policy's minutes are the plan's, and its first act is the plan's act."""
    problem = random_mixed(Random(seed))
    tree, found = policy_tree(problem), plan(problem)

    assert tree.act == found.act
    assert found.expected == pytest.approx(tree.expected, rel=1e-7)


def test_runners_up_are_exact_when_there_is_time() -> None:
    """Without a budget the runners-up carry their true costs, best first."""
    random = Random("runners")
    for family in FAMILIES:
        problem = random_naming(random, family, 7)
        found = plan(problem, alternatives=2)
        true = [option.expected for option in first_act_costs(problem)]
        assert true[1:3] == pytest.approx([option.expected for option in found.runners_up])


@given(seeds)
@settings(deadline=None, max_examples=60)
def test_how_often_acts_are_done_adds_up_to_the_expected_minutes(seed: int) -> None:
    """What each act and each opening costs, as often as it is done, is what the plan expects."""
    problem = random_mixed(Random(seed))
    often = how_often(problem, inf, hypotheses=16, checks=24, rare=0.0)
    costs = {act.name: act.cost for act in (*problem.checks, *problem.repairs)}
    costs |= {**problem.setup_costs, "stop": problem.give_up}
    spent = sum(times * costs[name] for name, times in often.items())
    assert plan(problem).expected == pytest.approx(spent, rel=1e-6, abs=1e-5)


def _told(found: Plan) -> tuple[object, ...]:
    return (
        found.act.name,
        found.expected,
        found.lower,
        tuple((option.act.name, option.expected) for option in found.runners_up),
    )


@pytest.mark.parametrize("seed", range(20))
def test_repairs_one_by_one_cost_what_they_cost_in_general(seed: int) -> None:
    """The short way for repairs that cure one hypothesis each values a state like the long way."""
    problem = random_noisy(Random(seed), "uniform costs", 6, 3)
    single = tuple(repair for repair in problem.repairs if len(repair.cures) == 1)
    model = Model(replace(problem, repairs=single, give_up=200.0))
    assert model.one_each
    for check in range(model.check_count):
        for _, state in model.after_check(check, model.root):
            assert _repair_in_line(model, state) == pytest.approx(_one_by_one(model, state))
