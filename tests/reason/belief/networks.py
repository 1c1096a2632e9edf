"""Random networks of causes and signs, and a slow, obvious evaluator of hypotheses on them."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, replace

from diag.model.rulebook import Cause, Repair, Sign
from diag.reason.belief.belief import Evidence, Posterior, Priors, RepairDone

PRIORS = Priors(0.03, 0.1, 0.02, 0.4, 0.05)


@dataclass(frozen=True)
class Network:
    """Signs and causes as the rulebook gives them."""

    signs: Mapping[str, Sign]
    causes: Mapping[str, Cause]


def sign(
    name: str,
    states: tuple[str, ...],
    leak: Mapping[str, float],
    over: Iterable[str] = (),
    defects: Mapping[str, str] | None = None,
) -> Sign:
    """Make a sign."""
    return Sign(name, states, "area", leak=leak, supersedes=tuple(over), defects=defects or {})


def cause(
    name: str,
    odds: float,
    shows: Mapping[str, Mapping[str, float]],
    complaints: Mapping[str, float] | None = None,
) -> Cause:
    """Make a cause."""
    repair = Repair(("mend it",), 10.0)
    return Cause(name, name, "area", odds, shows, repair, complaints=complaints or {})


def random_network(
    rng: random.Random,
    causes: int,
    signs: int,
    *,
    states: tuple[int, ...] = (2, 3),
    links: int = 5,
    leak: float = 0.02,
    odds: tuple[float, float] = (0.005, 0.1),
    strength: tuple[float, float] = (0.3, 0.95),
) -> Network:
    """Make a network in which each sign is linked to `links` causes of random strengths.

    The leak of a sign, in all, is `leak`; so its other states share it.
    """
    made: dict[str, Sign] = {}
    shows: list[dict[str, dict[str, float]]] = [{} for _ in range(causes)]
    for number in range(signs):
        name = f"sign {number:04}"
        names = tuple(f"state {place}" for place in range(rng.choice(states)))
        made[name] = sign(name, names, {state: leak / (len(names) - 1) for state in names[1:]})
        for place in rng.sample(range(causes), min(links, causes)):
            total = rng.uniform(*strength)
            shares = [rng.random() + 1e-3 for _ in names[1:]]
            scale = total / sum(shares)
            shows[place][name] = {s: scale * x for s, x in zip(names[1:], shares, strict=True)}
    rates = [math.exp(rng.uniform(math.log(odds[0]), math.log(odds[1]))) for _ in range(causes)]
    return Network(
        made,
        {
            (name := f"cause {place:04}"): cause(
                name, rates[place], shows[place], {"dead": rng.choice([0.25, 0.75, 0.85])}
            )
            for place in range(causes)
        },
    )


def slow_chance(network: Network, present: Iterable[str], name: str, state: str) -> float:
    """Return P(state | causes), one clock after another."""
    rate = slow_rates(network, [network.signs[name].leak, *_links(network, present, name)], name)
    whole = sum(rate.values())
    if state not in rate:
        return math.exp(-whole)
    return (1 - math.exp(-whole)) * rate[state] / whole if whole else 0.0


def slow_rates(
    network: Network, links: Iterable[Mapping[str, float]], name: str
) -> dict[str, float]:
    """Return the rates of these links to a sign, added up by state."""
    rate: dict[str, float] = dict.fromkeys(network.signs[name].states[1:], 0.0)
    for link in links:
        total = sum(link.values())
        for other, strength in link.items():
            rate[other] += -math.log(1 - total) * strength / total if total else 0.0
    return rate


def _links(network: Network, causes: Iterable[str], name: str) -> list[Mapping[str, float]]:
    return [network.causes[one].shows.get(name, {}) for one in causes]


def slow_both(
    network: Network, gone: Iterable[str], left: Iterable[str], name: str, seen: list[str]
) -> float:
    """Return P(one state before a repair, one after it), by adding up over the time of the ring.

    What the causes that were repaired between, `gone`, hid from view shows afterwards.
    """
    first, leak = network.signs[name].states[0], network.signs[name].leak
    stays = slow_rates(network, [leak, *_links(network, left, name)], name)
    taken = slow_rates(network, _links(network, gone, name), name)
    kept, before, after = sum(stays.values()), *seen
    whole = kept + sum(taken.values())
    if before == first:
        return math.exp(-whole) if after == first else 0.0

    def ringing(time: float) -> float:
        silent = math.exp(-kept * (1 - time))
        fresh = silent if after == first else (1 - silent) * stays[after] / kept if kept else 0.0
        return math.exp(-whole * time) * (stays[before] * (before == after) + taken[before] * fresh)

    steps = 160  # Boole's rule, good to about 1e-12 here
    sides = [7, *([32, 12, 32, 14] * (steps // 4))[:-1], 7]
    curve = (side * ringing(k / steps) for k, side in enumerate(sides))
    return 2 * math.fsum(curve) / (45 * steps)


def slow_likelihood(
    network: Network,
    present: frozenset[str],
    readings: list[Evidence],
    repairs: Iterable[RepairDone],
    persists: float,
    seen: Container[str] = (),
) -> float:
    """Return the likelihood of the readings of one sign, in order of stage, each given the last."""
    weight, earlier, repairs = 1.0, None, list(repairs)
    for one in readings:
        states = network.signs[one.sign].states
        left = slow_left(present, [r for r in repairs if r.stage < one.stage], seen)
        among = slow_among(network, one, repairs, seen)
        anew = _mixed(one, among, slow_chance(network, left, one.sign, one.state))
        if earlier is None:
            weight *= anew
        else:
            last, came, then = earlier
            both = sum(
                _mixed(last, then, float(before == last.state))
                * _mixed(one, among, float(after == one.state))
                * slow_both(network, came - left, left, one.sign, [before, after])
                for before in states
                for after in states
            )
            chance = slow_chance(network, came, one.sign, last.state)
            again = both / _mixed(last, then, chance)
            weight *= persists * again + (1 - persists) * anew
        earlier = one, left, among
    return weight


def slow_among(
    network: Network, one: Evidence, repairs: list[RepairDone], seen: Container[str]
) -> float:
    """Return how many states a slip may be taken for: none is taken for a fault in plain sight."""
    sign = network.signs[one.sign]
    mended = {repair.cause for repair in repairs if repair.stage < one.stage}
    faults = {state for state, cause in sign.defects.items() if cause not in mended}
    doubted = one.hearsay or one.reliability <= 0.5
    if doubted or (one.state in sign.defects and sign.defects[one.state] not in seen):
        return len(sign.states)
    return math.inf if one.state in faults else len(sign.states) - len(faults)


def slow_left(
    present: frozenset[str], repairs: list[RepairDone], seen: Container[str] = ()
) -> set[str]:
    """Return the causes still there after the repairs.

    If the first proof of the one that should have mended the last of them failed, it did not take,
    unless that was in plain sight.
    """
    left = set(present)
    for repair in repairs:
        failed = next(other.failed for other in repairs if other.cause == repair.cause)
        if left != {repair.cause} or not failed or repair.cause in seen:
            left.discard(repair.cause)
    return left


def _mixed(one: Evidence, states: float, chance: float) -> float:
    return one.reliability * chance + (1 - one.reliability) / states


def slow_weight(
    network: Network,
    present: frozenset[str],
    evidence: Iterable[Evidence],
    priors: Priors,
    complaint: str = "",
    repairs: Iterable[RepairDone] = (),
    seen: Container[str] = (),
) -> float:
    """Return prior odds times likelihood of everything for one set of causes, the obvious way."""
    weight = math.prod(network.causes[one].odds for one in present)
    if complaint:
        silent = 1.0
        for one in present:
            silent *= 1 - network.causes[one].complaints.get(complaint, priors.complaint_leak)
        weight *= 1 - silent if present else priors.complaint_nothing
    evidence, repairs = sorted(evidence, key=lambda one: (one.sign, one.stage)), list(repairs)
    for _, readings in itertools.groupby(evidence, key=lambda one: one.sign):
        persistence = priors.sign_persistence
        weight *= slow_likelihood(network, present, list(readings), repairs, persistence, seen)
    for repair in repairs:
        done = {other.cause for other in repairs if other.stage <= repair.stage}
        if repair.failed and not present - done:
            weight *= priors.repair_fails
        elif repair.failed and repair.going_on:
            told = [r for r in repairs if r.stage < repair.stage and r.failed and r.going_on]
            gone = {r.cause for r in repairs if told and r.stage <= told[-1].stage}
            weight *= slow_told(network, present - done, complaint, priors)
            weight /= slow_told(network, present - gone, complaint, priors)
    return weight


def slow_told(network: Network, present: Iterable[str], complaint: str, priors: Priors) -> float:
    """Return the chance that these causes bring a complaint."""
    listed = [network.causes[one].complaints for one in present]
    return 1 - math.prod(1 - each.get(complaint, priors.complaint_leak) for each in listed)


def random_evidence(
    rng: random.Random, network: Network, count: int, stages: int = 1
) -> list[Evidence]:
    """Return evidence on different signs, or on one at different stages, in random states."""
    names = sorted(network.signs)
    places = rng.sample([(s, n) for n in names for s in range(stages)], count)
    return [
        Evidence(name, rng.choice(network.signs[name].states), rng.choice([0.6, 0.9, 1.0]), stage)
        for stage, name in places
    ]


def everything(posterior: Posterior) -> list[float]:
    """Return all probabilities of a posterior in a fixed order."""
    pairs = sorted(posterior.pairs.items())
    return [*posterior.single, *(p for _, p in pairs), posterior.nothing, posterior.unknown]


def with_defects(rng: random.Random, network: Network, signs: int) -> Network:
    """Return the network with the last state of some signs a fault of its own, in plain sight."""
    made, causes = dict(network.signs), dict(network.causes)
    for name in rng.sample(sorted(made), signs):
        state = made[name].states[-1]
        linked = [one for one in sorted(causes) if name in causes[one].shows]
        fault = rng.choice(linked)
        leak = {other: chance for other, chance in made[name].leak.items() if other != state}
        made[name] = replace(made[name], leak=leak, defects={state: fault})
        for one in linked:
            own = causes[one].shows[name]
            own = own if one == fault else {s: x for s, x in own.items() if s != state}
            shows = {**causes[one].shows, name: own}
            causes[one] = replace(causes[one], shows={n: s for n, s in shows.items() if s})
    return Network(made, causes)


def slow_seen(
    network: Network, evidence: Iterable[Evidence], repairs: Iterable[RepairDone] = ()
) -> dict[str, float]:
    """Return the causes in plain sight, and how far the looks that show each can be relied on.

    The latest look at a sign before the repair of what it shows decides.
    """
    wrong: dict[str, float] = {}
    for name, one in network.signs.items():
        for state, fault in one.defects.items():
            until = min((r.stage for r in repairs if r.cause == fault), default=99)
            looks = [e for e in evidence if e.sign == name and e.stage <= until]
            last = max(looks, key=lambda e: e.stage, default=None)
            if last and last.state == state and last.reliability > 0.5 and not last.hearsay:
                wrong[fault] = wrong.get(fault, 1.0) * (1 - last.reliability)
    return {fault: 1 - chance for fault, chance in wrong.items()}
