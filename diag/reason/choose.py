"""The next check: beliefs and benches turned into a troubleshooting problem, and its plan.

A check is worth what the signs that it would decide tell of the causes. What has been opened
or made ready stays so: access is paid once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import product

from diag.model.knowledge import Check, Repair, Rulebook
from diag.reason.links import likelihood
from diag.reason.plan import Check as Look
from diag.reason.plan import Kind, Option, Plan, Problem, plan
from diag.reason.plan import Repair as Mend
from diag.reason.posterior import Posterior
from diag.reason.rank import entropy

NOTHING = "nothing wrong"
UNKNOWN = "not in the rulebook"
KEPT_WEIGHT = 0.95
MOST_HYPOTHESES = 9
MOST_CHECKS = 6
MOST_OUTCOMES = 12
LEAST_GAIN = 1e-3
BUDGET = 80
RUNNERS_UP = 2


@dataclass(frozen=True, slots=True)
class Offer:
    """A check that can be done now, the findings it would bring, and the signs it would decide."""

    check: Check
    findings: tuple[str, ...]
    signs: tuple[str, ...]
    reliability: float


@dataclass(frozen=True, slots=True)
class Ranked:
    """An act with the expected minutes to a proved repair when it is done first."""

    kind: str
    name: str
    expected: float


@dataclass(frozen=True, slots=True)
class Choice:
    """The best act, those that come next, and whether any check could still tell anything."""

    best: Ranked
    runners_up: tuple[Ranked, ...]
    best_check: str
    """The check worth most, even where a repair is better still; empty when none tells."""


def choose(
    rulebook: Rulebook,
    posterior: Posterior,
    offers: Iterable[Offer],
    opened: frozenset[str],
    avoid: frozenset[str] = frozenset(),
    deadline: Callable[[], bool] | None = None,
) -> Choice:
    """Choose the next act of least expected minutes; `avoid` holds repairs turned down."""
    hypotheses = _hypotheses(posterior)
    telling = _telling(rulebook, posterior, hypotheses, tuple(offers))
    problem = _problem(rulebook, hypotheses, telling, opened, avoid)
    found = plan(problem, budget=BUDGET, deadline=deadline, alternatives=RUNNERS_UP)
    ranked = [
        Ranked(option.act.kind.value, option.act.name, option.expected)
        for option in (_first(found), *found.runners_up)
    ]
    checks = [one.name for one in ranked if one.kind == Kind.CHECK.value]
    spare = telling[0][0].check.id if telling else ""
    return Choice(ranked[0], tuple(ranked[1:]), checks[0] if checks else spare)


def _first(found: Plan) -> Option:
    return Option(found.act, found.expected)


Hypothesis = tuple[tuple[int, ...], str, float]
"""Indices of the causes present, a name, and the weight."""


def _hypotheses(posterior: Posterior) -> list[Hypothesis]:
    """Return the likeliest causes that hold nearly all weight, and the two other hypotheses.

    A pair counts with the likelier of its two: that one is repaired first, which is no repair
    in vain, and what is left is looked for when the proof has failed.
    """
    names = posterior.links.causes
    shares = list(posterior.single)
    for pair, share in posterior.pair.items():
        shares[max(pair, key=lambda index: (posterior.single[index], -index))] += share
    order = sorted(range(len(shares)), key=lambda index: (-shares[index], names[index]))
    kept: list[Hypothesis] = []
    weight = posterior.nothing + posterior.unknown
    for index in order:
        if (weight >= KEPT_WEIGHT and kept) or len(kept) >= MOST_HYPOTHESES:
            break
        kept.append(((index,), names[index], shares[index]))
        weight += shares[index]
    kept.append(((), NOTHING, max(posterior.nothing, 1e-9)))
    kept.append(((), UNKNOWN, max(posterior.unknown, 1e-9)))
    return kept


Rows = tuple[tuple[float, ...], ...]


def _rows(posterior: Posterior, hypotheses: list[Hypothesis], offer: Offer, sign: str) -> Rows:
    """Return P(state | hypothesis) of one sign, with the reliability of the reading mixed in."""
    table = posterior.links.table(sign)
    states = len(table.states)
    flat = (1 / states,) * states
    rows = []
    for causes, name, _ in hypotheses:
        chances = flat if name == UNKNOWN else table.chances(causes)
        mixed = [likelihood(chance, offer.reliability, states) for chance in chances]
        total = sum(mixed)
        rows.append(tuple(chance / total for chance in mixed))
    return tuple(rows)


def _joint(tables: list[Rows]) -> Rows:
    return tuple(
        tuple(_multiply(combination) for combination in product(*rows))
        for rows in zip(*tables, strict=True)
    )


def _multiply(numbers: Iterable[float]) -> float:
    result = 1.0
    for number in numbers:
        result *= number
    return result


def _gain(weights: tuple[float, ...], rows: Rows) -> float:
    """Return the bits that an outcome is expected to tell of the hypotheses."""
    total = sum(weights)
    shares = [weight / total for weight in weights]
    columns = [
        [share * row[outcome] for share, row in zip(shares, rows, strict=True)]
        for outcome in range(len(rows[0]))
    ]
    after = sum(
        sum(column) * entropy(part / sum(column) for part in column) for column in columns
    )
    return entropy(shares) - after


def _telling(
    rulebook: Rulebook,
    posterior: Posterior,
    hypotheses: list[Hypothesis],
    offers: tuple[Offer, ...],
) -> list[tuple[Offer, Rows, float]]:
    """Return the offers that tell something with their joint outcomes, the best value first."""
    weights = tuple(weight for _, _, weight in hypotheses)
    told = []
    for offer in offers:
        tables = [_rows(posterior, hypotheses, offer, sign) for sign in offer.signs]
        scored = sorted(
            ((_gain(weights, rows), number) for number, rows in enumerate(tables)), reverse=True
        )
        kept: list[Rows] = []
        size = 1
        for worth, number in scored:
            width = len(tables[number][0])
            if worth >= LEAST_GAIN and size * width <= MOST_OUTCOMES:
                kept.append(tables[number])
                size *= width
        if kept:
            rows = _joint(kept)
            told.append((offer, rows, _gain(weights, rows)))
    cost = {offer.check.id: _price(rulebook, offer.check) for offer, _, _ in told}
    told.sort(key=lambda one: (-one[2] / (cost[one[0].check.id] + 0.5), one[0].check.id))
    return told[:MOST_CHECKS]


def _price(rulebook: Rulebook, check: Check) -> float:
    keys = keys_of(rulebook, check)
    return check.minutes + sum(setup_costs(rulebook)[key] for key in keys)


def keys_of(rulebook: Rulebook, act: Check | Repair) -> frozenset[str]:
    """Return what must be opened or made ready for a check or a repair."""
    costs = setup_costs(rulebook)
    return frozenset(key for key in (act.access, *act.needs) if costs.get(key, 0.0) > 0)


def opened_by(rulebook: Rulebook, checks: Iterable[str]) -> frozenset[str]:
    """Return all that these checks open or make ready."""
    keys = [keys_of(rulebook, rulebook.checks[name]) for name in checks]
    return frozenset().union(*keys)


def minutes_of(
    rulebook: Rulebook, checks: Iterable[str], opened: frozenset[str] = frozenset()
) -> float:
    """Return the minutes of checks; what they open beyond `opened` is paid once."""
    names = tuple(checks)
    costs = setup_costs(rulebook)
    spent = sum(rulebook.checks[name].minutes for name in names)
    return spent + sum(costs[key] for key in sorted(opened_by(rulebook, names) - opened))


def setup_costs(rulebook: Rulebook) -> Mapping[str, float]:
    """Return the minutes that each access and each need costs once."""
    return {**rulebook.scales.access, **rulebook.scales.needs}


def _problem(
    rulebook: Rulebook,
    hypotheses: list[Hypothesis],
    telling: list[tuple[Offer, Rows, float]],
    opened: frozenset[str],
    avoid: frozenset[str],
) -> Problem:
    settings = rulebook.scales.settings
    closing = settings.get("proof run minutes", 10.0)
    success = 1 - settings.get("repair fails", 0.05)
    repairs = []
    for number, (causes, name, _) in enumerate(hypotheses):
        if name == UNKNOWN or name in avoid:
            continue
        repair = rulebook.causes[name].repair if causes else None
        cost = closing + (repair.cost if repair else 0.0)
        opens = keys_of(rulebook, repair) if repair else frozenset()
        repairs.append(Mend(name, cost, frozenset({number}), success, opens))
    checks = tuple(
        Look(
            offer.check.id, offer.check.minutes, rows, keys_of(rulebook, offer.check)
        )
        for offer, rows, _ in telling
    )
    weights = tuple(weight for _, _, weight in hypotheses)
    give_up = settings.get("hand over minutes", 600.0)
    return Problem(weights, checks, tuple(repairs), setup_costs(rulebook), opened, give_up)
