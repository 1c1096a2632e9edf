"""Search for the policy of least expected minutes: anytime, and exact when it may run out.

Each state carries an interval: a proved lower bound, and the cost of the best policy known so far.
Deepening passes narrow the intervals (depth-first branch and bound over an AND/OR tree with a
table of states; a rollout policy values the leaves). The upper end only ever falls, so more work
never gives a worse plan, and it starts at what the one-step policy costs.

AND/OR search: Martelli and Montanari, "Additive AND/OR graphs" (IJCAI 1973). To walk along the
policy in hand before a full pass is an idea of ours.
"""

from math import inf

from diag.reason.plan.bound import Bound
from diag.reason.plan.node import Branching, SearchNode
from diag.reason.plan.problem import DecisionProblem, Option, Plan
from diag.reason.plan.repair_sequence import repairs_only
from diag.reason.plan.rollout import (
    Policy,
    by_value_of_information,
    by_worth_or_repair,
    follow,
    paid,
)
from diag.reason.plan.state import STOP_ACT, Model, SearchState, StateKey

CLOSE = 1e-9
ROLLOUT, ONE_STEP = 0, 1
# With more histories than this, rollouts stop at states rarer than RARE, then FINER times that in
# each further pass, and at none from pass LAST_CUT on.
MANY_HISTORIES = 5000
RARE = 0.1
FINER = 0.25
LAST_CUT = 8


class Search:
    """Search one problem within a budget of work: no clock decides, so a plan can be repeated.

    Work counts states expanded and states passed through by a rollout.
    """

    def __init__(self, problem: DecisionProblem, budget: float = inf) -> None:
        self.model = Model(problem)
        self.work = 0
        self._budget = budget
        self._bound = Bound(self.model)
        self._nodes: dict[StateKey, SearchNode] = {}
        self._passed: dict[tuple[int, StateKey], float] = {}
        self._rare = self._rarity(0)
        self.root = self.node(self.model.root)
        self._roll_root()

    def spent(self) -> bool:
        """Report whether the budget of work is used up."""
        return self.work >= self._budget

    def node(self, state: SearchState) -> SearchNode:
        """Return the one node of a state."""
        key = state.key
        found = self._nodes.get(key)
        if found is None:
            found = self._nodes[key] = SearchNode(state, self._bound.lower(state))
        return found

    def options(self, node: SearchNode) -> list[Branching]:
        """Return every act worth considering in a state, built once."""
        if node.options is None:
            self.work += 1
            state, model = node.state, self.model
            last = model.check_count + len(model.repairs)
            repairs = (r for r in range(model.check_count, last) if model.may_repair(r, state))
            acts = [
                *model.telling(state),
                *repairs,
                *([STOP_ACT] if model.problem.give_up < inf else []),
            ]
            node.options = [
                Branching(act, paid(model, act, state), self._children(act, state)) for act in acts
            ]
        return node.options

    def _children(self, act: int, state: SearchState) -> list[SearchNode]:
        nodes = [self.node(child) for child in follow(self.model, act, state)]
        return sorted(nodes, key=lambda node: -node.state.total)

    def _rarity(self, depth: int) -> float:
        """Return the weight below which rollouts stop in a pass."""
        if depth >= LAST_CUT or self.model.histories <= MANY_HISTORIES:
            return 0.0
        return self.model.root.total * RARE * FINER**depth

    def _cut_short(self, number: int) -> bool:
        """Report whether a rollout must end here; the first one of a small problem need not."""
        if number == ONE_STEP and self.model.histories <= MANY_HISTORIES:
            return False
        return self.spent()

    def _roll_root(self) -> None:
        self._pass_through(self.root, by_value_of_information, ONE_STEP)
        self.rollout(self.root)

    def rollout(self, node: SearchNode) -> None:
        """Value a state by the rollout policy."""
        self._pass_through(node, by_worth_or_repair, ROLLOUT)

    def _pass_through(
        self, node: SearchNode, policy: Policy, number: int, limit: float = inf
    ) -> float:
        """Follow a policy to its end, leaving in every state what it costs from there.

        It is left alone where it cannot stay under `limit`. Where repairing blindly is allowed,
        rare states and those reached when the budget is spent end so. Returns the weight below
        which states were cut short, 0 if none was.
        """
        state = node.state
        cut = self._passed.get((number, state.key), inf)
        if cut <= self._rare or node.solved or node.lower >= limit:
            return cut if cut < inf else 0.0
        node.offer(*repairs_only(self.model, state))
        if node.upper < inf and (state.total < self._rare or self._cut_short(number)):
            return self._rare
        self.work += 1
        act = policy(self.model, state)
        limit = inf if number == ROLLOUT else min(limit, node.upper)
        way = Branching(act, paid(self.model, act, state), self._children(act, state))
        low, cut = way.lower(), 0.0
        for child in way.children:
            if low >= limit:
                break
            before = child.lower
            cut = max(cut, self._pass_through(child, policy, number, limit - low + before))
            low += child.upper - before
        node.offer(way.upper(), act)
        if not self._cut_short(number):
            self._passed[number, state.key] = cut
        return cut

    def deepen(self, node: SearchNode, limit: float = inf) -> None:
        """Refine a state pass by pass until it is solved or the budget is spent."""
        depth = node.depth + 1
        while not node.solved and not self.spent():
            self._rare = min(self._rare, self._rarity(depth))
            self._roll_root()
            self._walk(node, depth, limit)
            if node.depth < depth:
                break
            depth += 1

    def _walk(self, node: SearchNode, depth: int, limit: float) -> None:
        """Refine a state, then the states along its best policy, until that policy stands.

        Most of the gain lies near the policy in hand, long before a full pass gets there.
        """
        best = None
        while True:
            self.refine(node, depth, limit)
            if node.depth < depth or node.solved or node.walked >= depth:
                return
            last, best = best, min(self.options(node), key=lambda option: option.upper())
            if best is last:
                node.walked = depth
                return
            for child in best.children:
                self._walk(child, depth, inf)
            node.offer(best.upper(), best.act)

    def refine(self, node: SearchNode, depth: int, limit: float) -> None:
        """Narrow a state's interval by looking `depth` acts ahead.

        A state whose lower bound passes `limit` no longer matters to whoever asked.
        """
        if node.solved or node.lower > limit or self.spent():
            return
        self.rollout(node)
        if depth <= node.depth or node.solved:
            return
        options = sorted(self.options(node), key=lambda option: (option.lower(), option.act))
        for option in options:
            self._refine_option(option, depth, min(limit, node.upper))
            node.offer(option.upper(), option.act)
        self._raise_lower(node)
        if not self.spent() and node.lower <= limit:
            node.depth = depth

    def _refine_option(self, option: Branching, depth: int, limit: float) -> None:
        low = option.lower()
        for child in option.children:
            if low >= limit:
                return
            before = child.lower
            self.refine(child, depth - 1, before + limit - low)
            self.rollout(child)
            low += child.lower - before

    def _raise_lower(self, node: SearchNode) -> None:
        proved = min((option.lower() for option in self.options(node)), default=inf)
        node.lower = max(node.lower, min(proved, node.upper))
        if node.solved:
            node.lower = node.upper

    def settle_ties(self, node: SearchNode) -> None:
        """Bring every act that may equal the best one to its own true cost."""
        for option in sorted(self.options(node), key=lambda option: option.act):
            self._settle(option, node.upper * (1 + CLOSE))

    def _settle(self, option: Branching, limit: float) -> None:
        for child in option.children:
            low = option.lower()
            if low > limit or self.spent():
                return
            self.rollout(child)
            self.deepen(child, child.lower + limit - low)

    def ranked(self, node: SearchNode) -> list[tuple[float, int]]:
        """Return acts with their known costs, best first; ties by kind, cost and name."""
        costs = self.model.costs(node.state.opened)

        def place(option: Branching) -> tuple[bool, float, int]:
            cost = 0.0 if option.act == STOP_ACT else costs[option.act]
            return (0 <= option.act < self.model.check_count, cost, option.act)

        left = [option for option in self.options(node) if option.upper() < inf]
        best = min((option.upper() for option in left), default=inf)
        near = [option for option in left if option.upper() <= best * (1 + CLOSE)]
        near.sort(key=place)
        far = sorted(
            (option for option in left if option not in near),
            key=lambda option: (option.upper(), place(option)),
        )
        return [(option.upper(), option.act) for option in near + far]


def plan(problem: DecisionProblem, budget: float = inf, alternatives: int = 2) -> Plan:
    """Choose the next act of least expected minutes to the end, and its runners-up.

    `budget` counts states looked at; without one the plan is exact. Its expected minutes never
    rise as the budget grows. They never exceed those of `by_value_of_information` where up to
    `MANY_HISTORIES` histories of noisy acts are possible: that policy is valued whole, whatever
    the budget; beyond that, rare ends of it are valued by repairing alone. Raises ValueError when
    no policy can end the work.
    """
    search = Search(problem, budget)
    root = search.root
    search.deepen(root)
    if root.upper == inf:
        raise ValueError(
            "no order of checks and repairs ends the work; give a cost for giving up, or a check"
            " that tells the last hypotheses apart"
        )
    search.settle_ties(root)
    _value_alternatives(search, alternatives)
    total = root.state.total
    ranked = [Option(search.model.public(act), value / total) for value, act in search.ranked(root)]
    return Plan(
        act=ranked[0].act,
        expected=root.upper / total,
        lower=root.lower / total,
        runners_up=tuple(ranked[1 : 1 + alternatives]),
        work=search.work,
        exact=root.solved,
    )


def _value_alternatives(search: Search, wanted: int) -> None:
    """Find the true cost of the next best acts, for as long as the budget lasts."""
    if wanted == 0:
        return
    options = list(search.options(search.root))
    options.sort(key=lambda option: (option.lower(), option.act))
    for option in options[: 2 * wanted + 1]:
        for child in option.children:
            search.rollout(child)
    while not search.spent():
        options.sort(key=lambda option: (option.lower(), option.act))
        doubtful = [
            child
            for option in options[: 1 + wanted]
            for child in option.children
            if not child.solved
        ]
        if not doubtful:
            return
        for child in doubtful:
            search.deepen(child)
