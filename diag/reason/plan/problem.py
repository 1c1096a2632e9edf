"""What a troubleshooting problem is: hypotheses, checks, repairs, and the plan that comes out.

The shape of the problem follows Heckerman, Breese and Rommelse (1995): looks with likelihoods,
repairs with chances, and a way to give up (their service call).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from enum import Enum
from math import inf, isfinite

from diag.model.frozen import frozen


@frozen
class Observation:
    """Describe one look at the thing: minutes, and what it shows under each hypothesis.

    `likelihood[h][o]` is P(outcome o | hypothesis h), rows adding up to 1. `opens` names what must
    be open or at hand; its one-off cost is paid by whichever act needs it first. `closes` names
    what the act undoes, so that it has to be paid again. Raises ValueError for bad numbers.
    """

    name: str
    cost: float
    likelihood: tuple[tuple[float, ...], ...]
    opens: frozenset[str] = frozenset()
    closes: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        _need_minutes(f"check `{self.name}`", self.cost)
        widths = {len(row) for row in self.likelihood}
        if len(widths) > 1:
            raise ValueError(f"check `{self.name}`: every hypothesis needs equally many outcomes")
        for row in dict.fromkeys(self.likelihood):
            if min(row, default=0.0) < 0 or abs(sum(row) - 1) > 1e-6:
                raise ValueError(
                    f"check `{self.name}`: chances under hypothesis {self.likelihood.index(row)}"
                    " must be 0 or more"
                    f" and add up to 1, not {sum(row):g}"
                )


@frozen
class Action:
    """Describe one repair: minutes with parts, the hypotheses it cures, and how often it succeeds.

    Whether it worked is known at once, and a repair is tried at most once. A `sure` repair may be
    done only when it must cure: with a cost of 0 it turns the problem into naming the fault.
    """

    name: str
    cost: float
    cures: frozenset[int]
    success: float = 1.0
    opens: frozenset[str] = frozenset()
    closes: frozenset[str] = frozenset()
    sure: bool = False

    def __post_init__(self) -> None:
        _need_minutes(f"repair `{self.name}`", self.cost)
        if not 0 < self.success <= 1:
            raise ValueError(
                f"repair `{self.name}`: success must be above 0 and at most 1, not {self.success:g}"
            )
        if self.sure and self.success < 1:
            raise ValueError(f"repair `{self.name}`: a sure repair must have success 1")


@frozen
class DecisionProblem:
    """Hold weights of the hypotheses, the acts on offer and what access costs, in minutes.

    Weights need not add up to 1. `give_up` is the cost of ending with the fault not cured (handing
    over); it is needed where a hypothesis has no certain repair. Raises ValueError for bad input.
    """

    weights: tuple[float, ...]
    checks: tuple[Observation, ...]
    repairs: tuple[Action, ...]
    setup_costs: Mapping[str, float] = field(default_factory=dict)
    opened: frozenset[str] = frozenset()
    give_up: float = inf

    def __post_init__(self) -> None:
        count = len(self.weights)
        if not all(weight >= 0 and isfinite(weight) for weight in self.weights) or not any(
            self.weights
        ):
            raise ValueError("weights must be 0 or more, and one of them above 0")
        for check in self.checks:
            if len(check.likelihood) != count:
                raise ValueError(
                    f"check `{check.name}`: needs {count} rows of chances, one per hypothesis,"
                    f" not {len(check.likelihood)}"
                )
        for repair in self.repairs:
            if not all(0 <= hypothesis < count for hypothesis in repair.cures):
                raise ValueError(f"repair `{repair.name}`: cures a hypothesis that is not there")
        _need_distinct("check", (check.name for check in self.checks))
        _need_distinct("repair", (repair.name for repair in self.repairs))
        acts: tuple[Observation | Action, ...] = (*self.checks, *self.repairs)
        for act in acts:
            for key in sorted(act.opens - self.setup_costs.keys()):
                raise ValueError(f"`{act.name}` opens `{key}`, which has no setup cost")


class ActKind(Enum):
    """Tell apart what can be done next."""

    CHECK = "check"
    REPAIR = "repair"
    STOP = "stop"


@frozen
class Act:
    """Name a check or repair by its place in the problem; stopping has the place -1."""

    kind: ActKind
    index: int
    name: str


@frozen
class Option:
    """Pair an act with the expected minutes to the end when it is done first."""

    act: Act
    expected: float


@frozen
class Plan:
    """Hold the best next act, its expected minutes, a proved lower bound, and the next best."""

    act: Act
    expected: float
    lower: float
    runners_up: tuple[Option, ...]
    work: int
    exact: bool


@frozen
class Step:
    """Hold one node of a policy: the act, its share of all cases, the minutes still expected.

    `branches` pairs an outcome's number with what follows; a repair has the one branch 0, "did not
    work", and none when it must work.
    """

    act: Act
    share: float
    expected: float
    branches: tuple[tuple[int, "Step"], ...]


def naming(
    weights: Sequence[float],
    checks: Iterable[Observation],
    classes: Iterable[Iterable[int]] | None = None,
    setup_costs: Mapping[str, float] | None = None,
) -> DecisionProblem:
    """Build the problem of naming the hypothesis (or its class), where only checks cost minutes."""
    groups = [[h] for h in range(len(weights))] if classes is None else classes
    return DecisionProblem(
        tuple(weights),
        tuple(checks),
        tuple(
            Action(f"class {number}", 0.0, frozenset(group), sure=True)
            for number, group in enumerate(groups)
        ),
        setup_costs or {},
    )


def decisive(
    name: str, cost: float, outcomes: Sequence[int], **more: frozenset[str]
) -> Observation:
    """Build a check whose outcome follows from the hypothesis: `outcomes[h]`, counted from 0."""
    width = max(2, *(outcome + 1 for outcome in outcomes))
    rows = tuple(tuple(float(o == outcome) for o in range(width)) for outcome in outcomes)
    return Observation(name, cost, rows, **more)


def _need_minutes(what: str, cost: float) -> None:
    if not (cost >= 0 and isfinite(cost)):
        raise ValueError(f"{what}: cost must be a number of minutes, 0 or more, not {cost:g}")


def _need_distinct(what: str, names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise ValueError(f"two {what}s are called `{name}`; give each its own name")
        seen.add(name)
