"""Search for the next act on published and random problems, beside one-step policies.

Run by hand: `python -m tests.bench.policy_random [problems [noisy problems]]`, by default 200 and
200 in each of five families. Every figure is a policy's expected minutes over those of the exact
optimum, from its whole tree: mean / worst. `80 states` is the first plan of a search that may look
at as many states as a session's; `30 states` is what is left of it with so many. `repairs` never
looks.

Naming: 8 to 12 hypotheses, decisive two-outcome checks, cost until one hypothesis is left.
Repairing: the same with repairs of 5 to 60 minutes, and in half of them one that cures all.
Noisy: 8 to 10 hypotheses, three or four checks of three outcomes that are right in 70 to 95 %,
each done at most once, repairs as above; sizes that an exact search can still finish.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from random import Random
from statistics import mean, median

from diag.reason.plan import DecisionProblem, plan
from diag.reason.plan.choose import BUDGET
from diag.reason.plan.reduce import plan_reduced
from diag.reason.plan.rollout import (
    Policy,
    by_gain,
    by_gain_per_cost,
    by_repairs,
    by_value_of_information,
    expected_cost,
    fixed_order,
    gains,
)
from diag.reason.plan.tree import first_act_costs
from tests.reason.plan.problems import (
    FAMILIES,
    car_start,
    eight_states,
    four_repairs,
    orders_of,
    random_naming,
    random_noisy,
    random_repairing,
    six_states,
    tennis,
)

Maker = Callable[[Random, str], DecisionProblem]


def main() -> None:
    """Print every table."""
    counts = [int(word) for word in sys.argv[1:]] + [200, 200]
    print_published()
    simple: dict[str, Policy] = {"gain/cost": by_gain_per_cost, "gain": by_gain}
    print_families("naming", counts[0], random_naming, simple)
    simple |= {"worth/cost": by_value_of_information, "repairs": by_repairs}
    print_families("repairing", counts[0], random_repairing, simple)
    print_families("noisy", counts[1 if len(sys.argv) > 2 else 0], noisy_of_some_size, simple)
    print_large()


def print_published() -> None:
    """Print the published examples with what the search and the simple policies make of them."""
    six, eight, car, four = six_states(), eight_states(), car_start(), four_repairs()
    firsts = {option.act.name: option.expected for option in first_act_costs(six)}
    orders = [expected_cost(four, fixed_order(order)) for order in orders_of(four)]
    no_test = replace(car, checks=())
    rows = [
        ("six states, five tests", "2.18", plan(six).expected),
        *((f"  best after {name}", "", cost) for name, cost in sorted(firsts.items())),
        ("  greedy gain", "2.86", expected_cost(six, by_gain)),
        ("eight states, twelve tests", "2.23", plan(eight).expected),
        ("  greedy gain", "", expected_cost(eight, by_gain)),
        ("car start, with the test", "13.1", plan(car).expected),
        ("  best without", "14.4", plan(no_test).expected),
        ("  sorted by p/c", "14.5", expected_cost(car, fixed_order(["SP", "ALL"]))),
        ("four repairs, p/c", "9.25", plan(four).expected),
        ("  best of 24 orders", "9.25", min(orders)),
        ("  worst of 24 orders", "15.0", max(orders)),
    ]
    print(f"{'published example':30}{'expected':>10}{'found':>10}")
    for name, expected, found in rows:
        print(f"{name:30}{expected:>10}{found:10.4f}")
    print("first gains, six states:", " ".join(f"{gain:.5f}" for gain in gains(six)))
    print("first gains, tennis:    ", " ".join(f"{gain:.6f}" for gain in gains(tennis())))


def noisy_of_some_size(random: Random, family: str) -> DecisionProblem:
    """Return a noisy problem of a size that an exact search can finish."""
    count = random.randint(8, 10)
    return random_noisy(random, family, count, 4 if count == 8 else 3)


def print_families(title: str, count: int, make: Maker, simple: dict[str, Policy]) -> None:
    """Print one table: a row for each family, a column for each policy."""
    heads = ["80 states", "30 states", *simple]
    print(f"\n{title}, {count} a family: minutes over the optimum, mean / worst")
    print(f"{'family':18}" + "".join(f"{head:>17}" for head in heads) + "   exact ms, median/max")
    every: dict[str, list[float]] = {head: [] for head in heads}
    for family in FAMILIES:
        random = Random(f"{title} {family}")
        ratios: dict[str, list[float]] = {head: [] for head in heads}
        took = []
        for _ in range(count):
            problem = make(random, family)
            begun = time.process_time()
            exact = plan(problem, alternatives=0)
            took.append(1000 * (time.process_time() - begun))
            assert exact.exact
            ratios["80 states"].append(plan(problem, budget=BUDGET).expected / exact.expected)
            ratios["30 states"].append(plan(problem, budget=30).expected / exact.expected)
            for name, policy in simple.items():
                ratios[name].append(expected_cost(problem, policy) / exact.expected)
        print_row(family, ratios, f"{median(took):12.1f} /{max(took):7.0f}")
        for head in heads:
            every[head] += ratios[head]
    print_row("all", every, "")


def print_row(name: str, ratios: dict[str, list[float]], tail: str) -> None:
    """Print one row of ratios."""
    cells = (f"{mean(values):9.4f} /{max(values):6.3f}" for values in ratios.values())
    print(f"{name:18}" + "".join(cells) + tail, flush=True)


def print_large() -> None:
    """Print how long a plan takes where the whole problem cannot be searched."""
    print(f"\nlarge and noisy, narrowed: processor ms to a plan of {BUDGET} states, of 10")
    for count, checks in ((60, 100), (120, 200)):
        took = []
        for seed in range(10):
            problem = random_noisy(Random(seed), "sparse checks", count, checks)
            begun = time.process_time()
            plan_reduced(problem, budget=BUDGET)
            took.append(1000 * (time.process_time() - begun))
        print(
            f"{count} hypotheses, {checks} checks: {median(took):.0f} median, {max(took):.0f} max"
        )


if __name__ == "__main__":
    main()
