"""Where the work stands: which hypotheses are left, with what weight, and what each act does.

Weights are never normalised. Every cost is multiplied by the weight that pays it, so the value of
a state is the plain sum over its branches and the surviving subset names a state exactly.

That unnormalised weights name a state is an idea of ours; the sum over branches is the recursion of
Martelli and Montanari (1973).
"""

from collections.abc import Iterator
from functools import reduce
from math import inf
from operator import mul, or_
from typing import NamedTuple

from diag.reason.plan.problem import Act, Action, ActKind, DecisionProblem, Observation
from diag.reason.plan.survivors import CheckOutcome, OpenRepair, Survivors

STOP_ACT = -1
# Asking is never quite free: otherwise a free check that changes nothing could win a tie.
LEAST_COST = 1e-6

StateKey = tuple[Survivors, int, int]
PricedRepair = tuple[float, int, bool]


class SearchState(NamedTuple):
    """Hold the hypotheses left, their weights, the noisy acts behind us, and what is open."""

    left: Survivors
    weights: tuple[float, ...]
    total: float
    tried: int
    done: int
    opened: int
    key: StateKey
    """What the state's weights follow from, whatever the order of acts was: the survivors, what
    was tried, and what is open."""

    @property
    def alive(self) -> tuple[int, ...]:
        """Return the numbers of the hypotheses left."""
        return self.left.hypotheses


class Model:
    """Lay a problem out for search: acts sorted by name, so that their order never matters.

    Acts are numbered checks first, then repairs. Checks that cannot tell any two hypotheses of
    weight apart are left out here, once.
    """

    def __init__(self, problem: DecisionProblem) -> None:
        self.problem = problem
        left = [h for h, weight in enumerate(problem.weights) if weight > 0]
        order = sorted(range(len(problem.checks)), key=lambda i: problem.checks[i].name)
        self.check_places = tuple(
            i for i in order if len({problem.checks[i].likelihood[h] for h in left}) > 1
        )
        self.repair_places = tuple(
            sorted(range(len(problem.repairs)), key=lambda i: problem.repairs[i].name)
        )
        checks = [problem.checks[i] for i in self.check_places]
        self.repairs = [problem.repairs[i] for i in self.repair_places]
        self.check_count = len(checks)
        self.columns = [tuple(zip(*check.likelihood, strict=True)) for check in checks]
        self.rows = [_row_numbers(check.likelihood) for check in checks]
        self._lay_out_tried([check.likelihood for check in checks])
        acts: tuple[Observation | Action, ...] = (*checks, *self.repairs)
        bits = {key: 1 << i for i, key in enumerate(sorted(problem.setup_costs))}
        self.minutes = [max(act.cost, LEAST_COST) for act in checks] + [
            repair.cost for repair in self.repairs
        ]
        self.needs = [sum(bits[key] for key in act.opens) for act in acts]
        self.closes = [sum(bits.get(key, 0) for key in act.closes) for act in acts]
        self._setup = [
            [(bits[key], problem.setup_costs[key]) for key in sorted(act.opens)] for act in acts
        ]
        self._costs: dict[int, list[float]] = {}
        self.priced: dict[int, dict[int, PricedRepair]] = {}
        """What `steps` worked out already."""
        self._survivors: dict[tuple[int, ...], Survivors] = {}
        self.needed_by_repairs = reduce(or_, self.needs[self.check_count :], 0)
        self._home_repairs()
        opened = sum(bits.get(key, 0) for key in problem.opened)
        weights, survivors = tuple(problem.weights[h] for h in left), self._left(tuple(left))
        self.root = _state(survivors, weights, 0, 0, opened)
        self.repaired: dict[StateKey, tuple[float, int]] = {}
        self.worthiest: dict[StateKey, tuple[int, float]] = {}

    def _lay_out_tried(self, tables: list[tuple[tuple[float, ...], ...]]) -> None:
        """Give each noisy act its own digit, so that a history is one number in any order."""
        self.digits: list[int] = []
        place = 1
        for table in tables:
            noisy = any(0 < chance < 1 for row in table for chance in row)
            self.digits.append(place if noisy else 0)
            place *= len(table[0]) + 1 if noisy else 1
        for repair in self.repairs:
            self.digits.append(place if repair.success < 1 else 0)
            place *= 2 if repair.success < 1 else 1
        self.histories = place

    def _home_repairs(self) -> None:
        """Find each hypothesis's cheapest end, and how much dearer the next best end is."""
        count = len(self.problem.weights)
        ends: list[list[tuple[float, int]]] = [[(self.problem.give_up, -1)] for _ in range(count)]
        for number, repair in enumerate(self.repairs):
            for hypothesis in repair.cures:
                ends[hypothesis].append((repair.cost, number))
        self.curing = [
            tuple(self.check_count + number for _, number in choices[1:]) for choices in ends
        ]
        for choices in ends:
            choices.sort()
        self.home = [choices[0][1] for choices in ends]
        self.end_cost = [choices[0][0] for choices in ends]
        self.detour = [
            choices[1][0] - choices[0][0] if len(choices) > 1 else inf for choices in ends
        ]
        self._own: list[list[tuple[float, float]]] = [[] for _ in self.problem.weights]
        for repair in self.repairs:
            if not repair.sure and len(repair.cures) == 1:
                self._own[min(repair.cures)].append((repair.cost, repair.success))
        self.success = [1.0] * self.check_count + [repair.success for repair in self.repairs]
        self.one_each = all(len(acts) < 2 for acts in self.curing) and not any(
            repair.sure or len(repair.cures) > 1 for repair in self.repairs
        )
        self.floor = [
            min([self.problem.give_up, *map(self._least_of, acts)]) if self.one_each else 0.0
            for acts in self.curing
        ]
        self.naming_only = all(repair.sure for repair in self.repairs)

    def _least_of(self, act: int) -> float:
        """Return the minutes of a repair alone, and of handing over where it fails."""
        fails = 1.0 - self.success[act]
        return self.minutes[act] + (fails * self.problem.give_up if fails else 0.0)

    def costs(self, opened: int) -> list[float]:
        """Return the minutes of every act when `opened` is open, setup included."""
        known = self._costs.get(opened)
        if known is None:
            known = [self._price(act, opened) for act in range(len(self.minutes))]
            self._costs[opened] = known
        return known

    def _price(self, act: int, opened: int) -> float:
        return self.minutes[act] + sum(
            [price for bit, price in self._setup[act] if not bit & opened]
        )

    def opened_after(self, act: int, opened: int) -> int:
        """Return what is open after the act."""
        return (opened | self.needs[act]) & ~self.closes[act]

    def least_repairs(self, state: SearchState) -> float:
        """Return weighted minutes that repairing without another look cannot undercut."""
        least: float = sum(map(mul, state.weights, state.left.floor))
        return least

    def steps(self, opened: int) -> dict[int, PricedRepair]:
        """Return, for every repair, its minutes when of what repairs need `opened` is open, what of
        that is open after it, and whether it may fail."""
        known = self.priced.get(opened)
        if known is None:
            known = self.priced[opened] = {
                act: (self._price(act, opened), self.opened_after(act, opened), success < 1)
                for act, success in enumerate(self.success)
                if act >= self.check_count
            }
        return known

    def line(self, state: SearchState) -> list[OpenRepair]:
        """Return the repairs that may still be tried: the place of the hypothesis among those
        left, the repair, its success and its minutes."""
        opened = state.opened & self.needed_by_repairs
        asked = state.done >> self.check_count, opened
        known = state.left.lines.get(asked)
        if known is None:
            steps, done, success = self.steps(opened), state.done, self.success
            known = state.left.lines[asked] = [
                (place, act, success[act], steps[act][0])
                for place, h in enumerate(state.alive)
                for act in self.curing[h]
                if not done >> act & 1
            ]
        return known

    def telling(self, state: SearchState) -> list[int]:
        """Return the checks not yet done that can shift belief between surviving hypotheses."""
        done, telling = state.done, state.left.telling
        return [check for check in telling if not done >> check & 1] if done else telling

    def tells(self, check: int, state: SearchState) -> bool:
        """Report whether a check not yet done can shift belief between surviving hypotheses."""
        return check in self.telling(state)

    def after_check(self, check: int, state: SearchState) -> Iterator[tuple[int, SearchState]]:
        """Yield each possible outcome's number with the state that it leads to."""
        opened = self.opened_after(check, state.opened)
        digit, tried, before, now = self.digits[check], state.tried, state.weights, state.left
        done = state.done | 1 << check if digit else state.done
        for number, chances, places, left in now.outcomes.get(check) or self._outcomes(check, now):
            weights = [before[place] for place in places] if left else before
            after = tuple(map(mul, weights, chances))
            yield number, _state(left or now, after, tried + digit * (number + 1), done, opened)

    def _outcomes(self, check: int, left: Survivors) -> list[CheckOutcome]:
        found = left.outcomes[check] = []
        for number, column in enumerate(self.columns[check]):
            chances = tuple([column[h] for h in left.hypotheses])
            places = tuple([place for place, chance in enumerate(chances) if chance])
            if len(places) == len(chances):
                found.append(CheckOutcome(number, chances))
            elif places:
                after = self._left(tuple([left.hypotheses[place] for place in places]))
                possible = tuple([chances[place] for place in places])
                found.append(CheckOutcome(number, possible, places, after))
        return found

    def _left(self, alive: tuple[int, ...]) -> Survivors:
        """Return the one object for a set of hypotheses left, laid out once."""
        known = self._survivors.get(alive)
        if known is None:
            known = self._survivors[alive] = Survivors(
                alive,
                [
                    check
                    for check, rows in enumerate(self.rows)
                    if len({rows[h] for h in alive}) > 1
                ],
                [self.floor[h] for h in alive],
                [self.end_cost[h] for h in alive],
                [self.home[h] for h in alive],
                min([self.detour[h] for h in alive]),
                [
                    (place, cost, success, self.end_cost[h])
                    for place, h in enumerate(alive)
                    for cost, success in self._own[h]
                ],
            )
        return known

    def after_repair(self, act: int, state: SearchState) -> SearchState | None:
        """Return the state after the repair has not worked, or None when it must work."""
        repair = self.repairs[act - self.check_count]
        cures, failing = repair.cures, 1.0 - repair.success
        left = [
            (h, weight * failing if h in cures else weight)
            for h, weight in zip(state.alive, state.weights, strict=True)
            if failing or h not in cures
        ]
        if not left:
            return None
        alive, weights = zip(*left, strict=True)
        digit = self.digits[act]
        done = state.done | 1 << act if digit else state.done
        opened = self.opened_after(act, state.opened)
        return _state(self._left(alive), weights, state.tried + digit, done, opened)

    def may_repair(self, act: int, state: SearchState) -> bool:
        """Report whether a repair is allowed here and could cure anything that is left."""
        if state.done >> act & 1:
            return False
        repair = self.repairs[act - self.check_count]
        if repair.sure:
            return repair.cures.issuperset(state.alive)
        return not repair.cures.isdisjoint(state.alive)

    def public(self, act: int) -> Act:
        """Return the act under its name and place in the problem as it was given."""
        if act == STOP_ACT:
            return Act(ActKind.STOP, -1, "stop")
        if act < self.check_count:
            place = self.check_places[act]
            return Act(ActKind.CHECK, place, self.problem.checks[place].name)
        place = self.repair_places[act - self.check_count]
        return Act(ActKind.REPAIR, place, self.problem.repairs[place].name)

    def masses(self, state: SearchState) -> list[float]:
        """Return the weight left in each class of hypotheses that share their cheapest repair."""
        return state.left.masses(state.weights)


def _state(
    left: Survivors, weights: tuple[float, ...], tried: int, done: int, opened: int
) -> SearchState:
    key = left, tried, opened
    return SearchState(left, weights, sum(weights), tried, done, opened, key)


def _row_numbers(table: tuple[tuple[float, ...], ...]) -> list[int]:
    numbers: dict[tuple[float, ...], int] = {}
    return [numbers.setdefault(row, len(numbers)) for row in table]
