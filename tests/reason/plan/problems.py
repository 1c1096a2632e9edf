"""Published troubleshooting problems, and random ones for the laws."""

from dataclasses import replace
from itertools import permutations
from random import Random

from diag.reason.plan import Action, DecisionProblem, Observation, decisive, naming

# Pattipati and Alexandridis, IEEE Trans. SMC 20(4) (1990) 872-887: six states, five unit-cost
# tests. Matrix and priors from memory; their dynamic programme gives the published 2.18.
SIX_STATES = ("00000", "01001", "00110", "10011", "11000", "11110")
SIX_WEIGHTS = (0.70, 0.01, 0.02, 0.10, 0.05, 0.12)

# A course text's example (studfile.net/preview/16445124): eight states, twelve tests, 1 = pass.
EIGHT_TESTS = (
    "10111111",
    "11011101",
    "10001111",
    "11000011",
    "10100011",
    "10001000",
    "10011100",
    "11110000",
    "10101011",
    "11001111",
    "11001001",
    "11011111",
)
EIGHT_WEIGHTS = (0.8, 0.05, 0.05, 0.02, 0.02, 0.02, 0.02, 0.02)

# Mitchell 1997, Table 3.2 (after Quinlan 1986): outlook, temperature, humidity, wind, play.
TENNIS = """
    sunny hot high weak no, sunny hot high strong no, overcast hot high weak yes,
    rain mild high weak yes, rain cool normal weak yes, rain cool normal strong no,
    overcast cool normal strong yes, sunny mild high weak no, sunny cool normal weak yes,
    rain mild normal weak yes, sunny mild normal strong yes, overcast mild high strong yes,
    overcast hot normal weak yes, rain mild high strong no
"""


def six_states() -> DecisionProblem:
    """Return the classic six-state example."""
    checks = [decisive(f"t{j + 1}", 1.0, [int(row[j]) for row in SIX_STATES]) for j in range(5)]
    return naming(SIX_WEIGHTS, checks)


def eight_states() -> DecisionProblem:
    """Return the example of eight states and twelve tests."""
    checks = [
        decisive(f"pi{j:02}", 1.0, [int(digit) for digit in row])
        for j, row in enumerate(EIGHT_TESTS, start=1)
    ]
    return naming(EIGHT_WEIGHTS, checks)


def tennis_days() -> list[list[str]]:
    """Return the fourteen days as rows of words."""
    return [row.split() for row in TENNIS.split(",")]


def tennis(days: list[list[str]] | None = None) -> DecisionProblem:
    """Return the days as a problem of naming the class `play`."""
    days = tennis_days() if days is None else days
    checks = []
    for column, name in enumerate(("outlook", "temperature", "humidity", "wind")):
        words = sorted({day[column] for day in days})
        checks.append(decisive(name, 1.0, [words.index(day[column]) for day in days]))
    classes = [[i for i, day in enumerate(days) if day[4] == play] for play in ("no", "yes")]
    return naming([1.0] * len(days), checks, classes)


def car_start() -> DecisionProblem:
    """Return the car that will not start (Jensen, Bayesian Networks and Decision Graphs)."""
    return DecisionProblem(
        weights=(0.3, 0.2, 0.5),
        checks=(decisive("test IS", 0.5, (0, 1, 0)),),
        repairs=(
            Action("SP", 4.0, frozenset({0})),
            Action("IS", 2.0, frozenset({1}), success=0.5),
            Action("ALL", 15.0, frozenset({0, 1, 2})),
        ),
    )


def four_repairs() -> DecisionProblem:
    """Return four disjoint repairs without checks (self-made regression, not published)."""
    table = {"A": (0.50, 10.0), "B": (0.30, 3.0), "C": (0.15, 1.0), "D": (0.05, 4.0)}
    return DecisionProblem(
        weights=tuple(share for share, _ in table.values()),
        checks=(),
        repairs=tuple(
            Action(name, cost, frozenset({h})) for h, (name, (_, cost)) in enumerate(table.items())
        ),
    )


def orders_of(problem: DecisionProblem) -> list[tuple[str, ...]]:
    """Return every order of the problem's repairs."""
    return list(permutations(repair.name for repair in problem.repairs))


FAMILIES = ("unit costs", "costs 1 2 5 10 30", "uniform costs", "skewed priors", "sparse checks")


def random_naming(random: Random, family: str, size: int | None = None) -> DecisionProblem:
    """Return a random problem of 8 to 12 hypotheses that its decisive checks can tell apart."""
    count = size or random.randint(8, 12)
    weights = _weights(random, family, count)
    chance = 0.2 if family == "sparse checks" else 0.5
    while True:
        checks = [
            decisive(
                f"check {j:02}",
                _cost(random, family),
                [int(random.random() < chance) for _ in range(count)],
            )
            for j in range(count + random.randint(0, 4))
        ]
        if len({tuple(check.likelihood[h] for check in checks) for h in range(count)}) == count:
            return naming(weights, checks)


def random_repairing(random: Random, family: str) -> DecisionProblem:
    """Return a random problem of 8 to 12 hypotheses with decisive checks and costly repairs."""
    problem = random_naming(random, family)
    return replace(problem, repairs=tuple(_repairs(random, len(problem.weights))))


def random_noisy(random: Random, family: str, count: int, checks: int) -> DecisionProblem:
    """Return a random problem of repairs with noisy checks of three outcomes."""
    sparse = family == "sparse checks"
    looks = []
    for j in range(checks):
        rows = []
        for _ in range(count):
            shown = random.randrange(3) if not sparse or random.random() < 0.3 else 0
            sharp = random.uniform(0.7, 0.95)
            rows.append(tuple(sharp if o == shown else (1 - sharp) / 2 for o in range(3)))
        looks.append(Observation(f"check {j:02}", _cost(random, family), tuple(rows)))
    return DecisionProblem(
        _weights(random, family, count), tuple(looks), tuple(_repairs(random, count))
    )


def random_mixed(random: Random) -> DecisionProblem:
    """Return a small problem with all that the model knows: access, noise, failures, overlap."""
    count = random.randint(2, 4)
    keys = ("cover", "cold")

    def some_keys(chance: float) -> frozenset[str]:
        return frozenset(key for key in keys if random.random() < chance)

    checks = []
    for j in range(random.randint(1, 3)):
        rows = []
        for _ in range(count):
            sharp = random.choice((1.0, 1.0, 0.8))
            rows.append((sharp, 1 - sharp) if random.random() < 0.5 else (1 - sharp, sharp))
        cost = float(random.randint(0, 6))
        checks.append(Observation(f"check {j}", cost, tuple(rows), some_keys(0.3), some_keys(0.2)))
    repairs = [
        Action(
            f"repair {h}",
            float(random.randint(1, 30)),
            frozenset({h, random.randrange(count)}),
            random.choice((1.0, 1.0, 0.7)),
            some_keys(0.3),
            some_keys(0.2),
        )
        for h in range(count - 1)
    ]
    weights = tuple(random.random() + 0.05 for _ in range(count))
    prices = {"cover": 5.0, "cold": 12.0}
    return DecisionProblem(
        weights, tuple(checks), tuple(repairs), prices, some_keys(0.2), give_up=60.0
    )


def _weights(random: Random, family: str, count: int) -> tuple[float, ...]:
    power = 4 if family == "skewed priors" else 1
    return tuple(random.random() ** power + 1e-3 for _ in range(count))


def _cost(random: Random, family: str) -> float:
    if family == "unit costs":
        return 1.0
    if family == "costs 1 2 5 10 30":
        return float(random.choice((1, 2, 5, 10, 30)))
    return random.uniform(1, 30)


def _repairs(random: Random, count: int) -> list[Action]:
    repairs = [
        Action(f"repair {h:02}", random.uniform(5, 60), frozenset({h})) for h in range(count)
    ]
    if random.random() < 0.5:
        repairs.append(Action("replace all", random.uniform(60, 150), frozenset(range(count))))
    return repairs
