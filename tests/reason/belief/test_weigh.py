"""Weights of evidence: the reasons on the screen are the arithmetic."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.reason.belief.belief import Belief, Evidence, Priors, start
from diag.reason.belief.grades import in_words
from diag.reason.belief.links import compile_links
from diag.reason.belief.weigh import Weight, weigh, weigh_against, weigh_among
from tests.reason.belief.networks import cause, random_evidence, random_network, sign

seeds = st.integers(0, 10**9)


def drawn(seed: int) -> Belief:
    """Return belief in a random network after some evidence and a failed proof."""
    rng = random.Random(seed)
    network = random_network(rng, 6, 6, states=(2, 3, 4), links=3)
    bare = start(compile_links(network.signs, network.causes), Priors(), "dead", leading=4)
    belief = bare.observe(*random_evidence(rng, network, rng.randint(0, 6), stages=2))
    return belief.repair_failed("cause 0001", 0) if rng.random() < 0.5 else belief


@given(seeds)
def test_prior_and_weights_add_to_the_posterior_odds(seed: int) -> None:
    """Decibans of prior, complaint, signs and proofs add to 10 log10 of the odds, exactly."""
    belief = drawn(seed)
    posterior = belief.posterior()
    for name, probability in posterior.singles.items():
        total = math.fsum(one.decibans for one in weigh(belief, name))
        assert 10 * math.log10(probability / posterior.nothing) == pytest.approx(total, abs=1e-9)


@given(seeds)
def test_differences_add_to_the_odds_of_one_cause_against_another(seed: int) -> None:
    """Why one and not the other adds to the log odds of the two."""
    belief = drawn(seed)
    singles = belief.posterior().singles
    for name, other in (("cause 0000", "cause 0001"), ("cause 0005", "cause 0002")):
        total = math.fsum(one.decibans for one in weigh_against(belief, name, other))
        odds = singles[name] / singles[other]
        assert 10 * math.log10(odds) == pytest.approx(total, abs=1e-9)


def lamps() -> Belief:
    """Return belief in two causes of a lamp being off, seen for sure."""
    signs = {
        "lamp": sign("lamp", ("steady", "off"), {"off": 0.01}),
        "bell": sign("bell", ("rings", "silent"), {"silent": 0.01}),
    }
    causes = {
        "a": cause("a", 0.1, {"lamp": {"off": 89 / 99}}, {"dark": 0.5}),
        "b": cause("b", 0.01, {"bell": {"silent": 0.5}}),
    }
    bare = start(compile_links(signs, causes), Priors(complaint_nothing=0.05), "dark")
    return bare.observe(Evidence("lamp", "off"), Evidence("bell", "silent"))


def test_ten_times_as_likely_is_ten_decibans() -> None:
    """A likelihood ratio of 10 weighs 10 decibans, and what says nothing is left out."""
    expected = [
        ("prior", "", "", 0, pytest.approx(-10)),
        ("complaint", "dark", "", 0, pytest.approx(10)),
        # one cause and the leak: 1 - (1 - 0.01)(1 - 89/99) = 0.9, against 0.01 by the leak alone
        ("sign", "lamp", "off", 0, pytest.approx(10 * math.log10(90))),
    ]
    assert expected == [tuple(one) for one in weigh(lamps(), "a")]


def test_a_failed_proof_weighs_against_what_was_repaired() -> None:
    """The repaired cause stays level with nothing wrong, all others gain on both."""
    belief = lamps().repair_failed("a", 0)
    proof = {name: [w for w in weigh(belief, name) if w.kind == "failed proof"] for name in "ab"}
    assert {"a": [], "b": [Weight("failed proof", "a", "", 0, pytest.approx(13.0103))]} == proof


def test_the_heaviest_reason_comes_first() -> None:
    """After prior and complaint the signs stand in order of weight, for or against."""
    belief = drawn(7)
    signs = [abs(w.decibans) for w in weigh(belief, "cause 0000") if w.kind == "sign"]
    assert sorted(signs, reverse=True) == signs


def test_a_cause_that_is_ruled_out_cannot_be_compared() -> None:
    """Nothing is left to weigh once a certain rule has spoken."""
    with pytest.raises(ValueError, match="`b` is ruled out; nothing is left to weigh"):
        weigh_against(lamps().excluding(["b"]), "a", "b")


@given(seeds)
def test_what_a_sign_tells_is_the_odds_with_it_over_the_odds_without(seed: int) -> None:
    """The belief made anew without the sign gives the weight, whatever all alike are told."""
    rng = random.Random(seed)
    network = random_network(rng, 6, 6, states=(2, 3, 4), links=3)
    bare = start(compile_links(network.signs, network.causes), Priors(), "dead", leading=4)
    said = list({one.sign: one for one in random_evidence(rng, network, 4)}.values())
    belief, name = bare.observe(*said), "cause 0001"
    told = {one.name: one.decibans for one in weigh_among(belief, belief.posterior(), name)}
    for one in said:
        without = bare.observe(*(other for other in said if other is not one))
        gain = log_odds(belief, name) - log_odds(without, name)
        assert told.get(one.sign, 0.0) == pytest.approx(gain, abs=1e-6)


def log_odds(belief: Belief, name: str) -> float:
    """Return, in decibans, the odds of a cause alone against every other alone, or none."""
    posterior = belief.posterior()
    rest = math.fsum(share for other, share in posterior.singles.items() if other != name)
    return 10 * math.log10(posterior.singles[name] / (rest + posterior.nothing))


@given(st.floats(-400, 400), st.floats(-400, 400))
def test_the_words_grow_with_the_ratio(one: float, other: float) -> None:
    """What weighs more is never said in a weaker word, for and against alike."""
    said = [in_words(weight) for weight in (0.0, 10.0, 15.0, 30.0)]
    low, high = sorted((one, other), key=abs)
    assert ["hardly for", "for", "strongly for", "very strongly for"] == said
    grade = [said.index(in_words(abs(weight))) for weight in (low, high)]
    assert sorted(grade) == grade
    assert in_words(one).endswith("for" if one >= 0 else "against")


@pytest.mark.parametrize(
    ("ratio", "word"),
    [(2.9, "hardly for"), (3.1, "for"), (19, "for"), (21, "strongly for"), (149, "strongly for"),
     (151, "very strongly for"), (1 / 21, "strongly against")],
)  # fmt: skip
def test_the_steps_are_those_of_kass_and_raftery(ratio: float, word: str) -> None:
    """Their table of Bayes factors: 1 to 3, 3 to 20, 20 to 150, more (1995; from memory)."""
    assert word == in_words(10 * math.log10(ratio))
