"""No look is expected to move belief one way: the planner predicts by what evidence weighs by.

The law of total probability, P(h) = sum over s of P(s) P(h | s), holds of every sign, also of one
read again after a repair. Predictions are held to the slow evaluator of `networks`.
"""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.reason.belief.belief import Belief, Evidence, Priors, RepairDone, start
from diag.reason.belief.links import compile_links
from diag.reason.plan.decision_problem import UNKNOWN, Forecast, hypotheses_of
from tests.reason.belief.networks import Network, random_evidence, random_network, slow_weight

PRIORS = Priors(unknown_odds=0.02, repair_fails=0.1, sign_persistence=0.8)
seeds = st.integers(0, 10**6)


def drawn(seed: int) -> tuple[Network, Belief]:
    """Draw a unit that was looked at, repaired once or twice in vain or in part, and looked at."""
    rng = random.Random(seed)
    network = random_network(rng, 5, 6, links=3)
    causes = sorted(network.causes)
    count = rng.choice([0, 1, 2])
    done = [RepairDone(rng.choice(causes), stage, rng.random() < 0.7) for stage in range(count)]
    evidence = random_evidence(rng, network, rng.randint(0, 6), stages=count + 1)
    links = compile_links(network.signs, network.causes)
    belief = start(links, PRIORS, "dead", leading=len(causes))
    return network, belief.with_repairs(done).observe(*evidence)


def not_seen_now(network: Network, belief: Belief) -> list[str]:
    """Return the signs that were not looked at since the last repair."""
    now = {one.sign for one in belief.said if one.stage == belief.stage}
    return [name for name in network.signs if name not in now]


@given(seeds, st.sampled_from([0.6, 0.95, 1.0]))
@settings(max_examples=60)
def test_belief_after_a_look_is_what_the_planner_expects(seed: int, trust: float) -> None:
    """Each hypothesis gains by a state as its forecast says, against the mean of all forecasts."""
    network, belief = drawn(seed)
    now = belief.remaining()
    hypotheses = hypotheses_of(now)
    forecast = Forecast(belief, hypotheses)
    for name in not_seen_now(network, belief):
        rows = forecast.rows(name, trust)
        nothing, unknown = rows[-2], rows[-1]
        for place, state in enumerate(network.signs[name].states):
            after = belief.observe(Evidence(name, state, trust, belief.stage)).remaining()
            expected = {"unknown": now.unknown * unknown[place] / (now.nothing * nothing[place])}
            actual = {"unknown": after.unknown / after.nothing}
            for one, row in zip(hypotheses, rows, strict=True):
                for cause in one.causes:
                    gain = row[place] / nothing[place]
                    expected[one.name] = now.single[cause] / now.nothing * gain
                    actual[one.name] = after.single[cause] / after.nothing
            assert expected == pytest.approx(actual, rel=1e-9, abs=1e-15)


@given(seeds, st.sampled_from([0.6, 0.95, 1.0]))
@settings(max_examples=60)
def test_the_mean_of_the_posteriors_is_the_posterior_now(seed: int, trust: float) -> None:
    """Over all states of a sign, weighed by their predicted chances, nothing is gained or lost."""
    network, belief = drawn(seed)
    came = belief.posterior()
    for name in not_seen_now(network, belief):
        look, mean = belief.look(name, trust), [0.0] * len(came.single)
        for place, state in enumerate(network.signs[name].states):
            shares = [(came.nothing, look.chance(place, ()))]
            shares += [(share, look.chance(place, (c,))) for c, share in enumerate(came.single)]
            shares += [(share, look.chance(place, pair)) for pair, share in came.pair.items()]
            shares += [(came.unknown, look.chance_of_unknown(place))]
            chance = math.fsum(share * given for share, given in shares)
            after = belief.observe(Evidence(name, state, trust, belief.stage)).posterior()
            mean = [m + chance * share for m, share in zip(mean, after.present(), strict=True)]
        assert came.present() == pytest.approx(mean, abs=1e-9)


@given(seeds)
@settings(max_examples=40)
def test_a_forecast_is_the_slow_ratio_of_weights(seed: int) -> None:
    """What a hypothesis shows is the mean over all faults that repairs have turned into it."""
    network, belief = drawn(seed)
    hypotheses, causes = hypotheses_of(belief.remaining()), belief.links.causes
    mended = {repair.cause for repair in belief.repairs}
    sets = [frozenset({one, other}) for one in causes for other in causes]
    forecast = Forecast(belief, hypotheses)

    def weight(present: frozenset[str], said: list[Evidence]) -> float:
        return slow_weight(network, present, said, PRIORS, "dead", belief.repairs)

    for name in not_seen_now(network, belief):
        rows = forecast.rows(name, 0.9)
        for one, row in zip(hypotheses, rows, strict=True):
            left = frozenset(causes[cause] for cause in one.causes)
            origins = {present for present in [*sets, frozenset[str]()] if present - mended == left}
            if one.name == UNKNOWN:
                continue
            before = sum(weight(present, list(belief.said)) for present in origins)
            for state, chance in zip(network.signs[name].states, row, strict=True):
                said = [*belief.said, Evidence(name, state, 0.9, belief.stage)]
                after = sum(weight(present, said) for present in origins)
                assert after / before == pytest.approx(chance, rel=1e-7)
