"""Belief in causes against a general-purpose library and a published network."""

import itertools
import math
import random

import pytest

from diag.reason.belief.belief import Evidence, Priors, start
from diag.reason.belief.links import compile_links
from tests.reason.belief.clinic import CLINIC, chest_clinic
from tests.reason.belief.networks import Network, random_evidence, random_network, slow_chance

gum = pytest.importorskip("pyagrum")


@pytest.mark.parametrize("number", range(100))
def test_all_subsets_agree_with_a_bayesian_network_library(number: int) -> None:
    """On random two-layer noisy-OR networks with leaks the marginals equal pyAgrum's to 1e-9."""
    rng = random.Random(number)
    network = random_network(rng, 5, 5, states=(2,), links=3, odds=(0.02, 0.5))
    evidence = [e._replace(reliability=1.0) for e in random_evidence(rng, network, 3)]
    links = compile_links(network.signs, network.causes)
    weights: dict[tuple[int, ...], float] = {}
    for size in range(6):
        for present in itertools.combinations(range(5), size):
            weight = math.prod(links.odds[one] for one in present)
            for one in evidence:
                table = links.table(one.sign)
                weight *= table.chances(present)[table.states.index(one.state)]
            weights[present] = weight
    total = math.fsum(weights.values())
    engine = gum.LazyPropagation(noisy_or_network(network))
    engine.setEvidence(
        {one.sign: network.signs[one.sign].states.index(one.state) for one in evidence}
    )
    for index, name in enumerate(links.causes):
        ours = math.fsum(weight for s, weight in weights.items() if index in s) / total
        assert engine.posterior(name)[1] == pytest.approx(ours, abs=1e-9)


def noisy_or_network(network: Network) -> "gum.BayesNet":
    """Return the same network built from the library's own noisy-OR nodes."""
    net = gum.BayesNet()
    for one in network.causes.values():
        net.add(gum.LabelizedVariable(one.id, "", 2))
        net.cpt(one.id).fillWith([1 / (1 + one.odds), one.odds / (1 + one.odds)])
    for node in network.signs.values():
        leak = sum(node.leak.values())
        net.addNoisyORNet(gum.LabelizedVariable(node.id, "", 2), leak)
    for one in network.causes.values():
        for name, strengths in one.shows.items():
            net.addWeightedArc(one.id, name, sum(strengths.values()))
    return net


@pytest.mark.parametrize("number", range(20))
def test_posterior_agrees_with_one_many_valued_fault(number: int) -> None:
    """With hypotheses as states of one node, pairs included, pyAgrum gives the same to 1e-9."""
    rng = random.Random(1000 + number)
    network = random_network(rng, 8, 8, states=(2, 3), links=3)
    evidence = random_evidence(rng, network, 4)
    links = compile_links(network.signs, network.causes)
    priors = Priors(unknown_odds=0.02)
    belief = start(links, priors, leading=6).observe(*evidence)
    posterior = belief.posterior()
    sets = [(), *((name,) for name in links.causes), *posterior.pairs]
    odds = [math.prod(network.causes[c].odds for c in s) for s in sets] + [0.02]
    net = gum.BayesNet()
    net.add(gum.LabelizedVariable("fault", "", len(odds)))
    net.cpt("fault").fillWith([one / sum(odds) for one in odds])
    for node in network.signs.values():
        net.add(gum.LabelizedVariable(node.id, "", len(node.states)))
        net.addArc("fault", node.id)
        for place, s in enumerate(sets):
            chances = [slow_chance(network, s, node.id, state) for state in node.states]
            net.cpt(node.id)[{"fault": place}] = chances
        net.cpt(node.id)[{"fault": len(sets)}] = [1 / len(node.states)] * len(node.states)
    engine = gum.LazyPropagation(net)
    for one in evidence:
        states = network.signs[one.sign].states
        flat = (1 - one.reliability) / len(states)
        soft = [flat + one.reliability * (state == one.state) for state in states]
        engine.addEvidence(one.sign, soft)
    theirs = engine.posterior("fault").tolist()
    ours = [posterior.nothing, *posterior.single, *posterior.pair.values(), posterior.unknown]
    assert theirs == pytest.approx(ours, abs=1e-9)


@pytest.mark.parametrize(("seen", "expected"), CLINIC.items())
def test_chest_clinic(seen: tuple[str, ...], expected: tuple[float, ...]) -> None:
    """The published network's posteriors and the probability of its evidence come out."""
    evidence = [Evidence(one.removeprefix("no "), "no" if " " in one else "yes") for one in seen]
    belief = chest_clinic().observe(*evidence)
    singles = belief.posterior().singles
    illnesses = [math.fsum(p for s, p in singles.items() if x in s) for x in "tlb"]
    assert list(expected[:3]) == pytest.approx(illnesses, abs=1e-6)
    assert expected[3] == pytest.approx(math.exp(belief.log_evidence(())), rel=1e-5)
