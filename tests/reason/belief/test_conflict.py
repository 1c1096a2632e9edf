"""Evidence that does not belong together, and the reading to take again."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.reason.belief.belief import Belief, Evidence, Priors, start
from diag.reason.belief.conflict import Shares, accused, conflict
from diag.reason.belief.links import compile_links
from tests.reason.belief.clinic import chest_clinic
from tests.reason.belief.networks import cause, random_evidence, random_network, sign, slow_weight

seeds = st.integers(0, 10**9)


def test_chest_clinic() -> None:
    """The measure of asia, dysp and xray follows from the published network's probabilities.

    Lauritzen and Spiegelhalter (1988): P(asia) 0.01, P(dysp) 0.435971, P(xray) 0.110290 and
    P(all three) 0.00098823; together they are likelier than apart, so there is no conflict.
    """
    seen = [Evidence(name, "yes") for name in ("asia", "dysp", "xray")]
    expected = math.log(0.01 * 0.435971 * 0.110290 / 0.00098823)
    found = conflict(chest_clinic().observe(*seen))
    assert expected == pytest.approx(found.measure, abs=1e-5)
    assert () == accused(found)


def drawn(seed: int) -> Belief:
    """Return belief in a random network after five answers."""
    rng = random.Random(seed)
    network = random_network(rng, 6, 8, states=(2, 3), links=3)
    bare = start(compile_links(network.signs, network.causes), Priors(), "dead", leading=4)
    said = [one._replace(reliability=0.9) for one in random_evidence(rng, network, 5)]
    return bare.observe(*said)


shares = st.floats(0, 1, allow_subnormal=False)


@given(st.lists(shares, min_size=1, max_size=40), st.dictionaries(st.integers(0, 39), shares))
def test_a_sum_with_a_few_changed_is_that_of_all(
    held: list[float], changed: dict[int, float]
) -> None:
    """To change a few shares gives the sum of all added up anew, to the last bit (`math.fsum`)."""
    new = {place: share for place, share in changed.items() if place < len(held)}
    anew = [new.get(place, share) for place, share in enumerate(held)]
    assert math.fsum(anew) == Shares(held).total_with(new.values(), new)


@settings(max_examples=30)
@given(seeds)
def test_slip_odds_are_those_of_a_reading_that_says_nothing(seed: int) -> None:
    """Odds of a slip are those of a flat answer against a sure one, summed over hypotheses."""
    rng = random.Random(seed)
    network = random_network(rng, 6, 8, states=(2, 3), links=3)
    bare = start(compile_links(network.signs, network.causes), Priors(), "dead", leading=4)
    said = [one._replace(reliability=0.9) for one in random_evidence(rng, network, 5)]
    belief = bare.observe(*said)
    sets = [frozenset[str](), *(frozenset([one]) for one in belief.links.causes)]
    sets += [frozenset(pair) for pair in belief.posterior().pairs]

    def total(evidence: list[Evidence]) -> float:
        priors = belief.priors
        known = [slow_weight(network, s, evidence, priors, "dead") for s in sets]
        flat = math.prod(1 / len(network.signs[one.sign].states) for one in evidence)
        return math.fsum([*known, priors.unknown_odds * priors.complaint_unknown * flat])

    for suspect in conflict(belief).suspects:
        rest = [one for one in said if one != suspect.evidence]
        slip, meant = (total([*rest, suspect.evidence._replace(reliability=r)]) for r in (0, 1))
        assert 0.1 / 0.9 * slip / meant == pytest.approx(suspect.slip_odds, rel=1e-9)


@settings(max_examples=30)
@given(seeds, st.randoms(use_true_random=False))
def test_order_of_readings_never_matters(seed: int, shuffle: random.Random) -> None:
    """The measure and the order of suspects follow from what was said, not when."""
    belief = drawn(seed)
    said = list(belief.said)
    shuffle.shuffle(said)
    assert conflict(belief) == conflict(belief.seen(()).observe(*said))


@settings(max_examples=30)
@given(seeds)
def test_one_reading_cannot_conflict(seed: int) -> None:
    """A single piece of evidence has a measure of 0 and gives no relief."""
    belief = drawn(seed)
    alone = conflict(belief.seen(sorted(belief.said)[:1]))
    assert [0.0, 0.0] == pytest.approx([alone.measure, alone.suspects[0].relief], abs=1e-12)


def four_and_one(other_odds: float) -> Belief:
    """Return belief after three signs of one cause and one of another, in doubt about all."""
    names = ("one", "two", "three", "odd")
    signs = {name: sign(name, ("ok", "bad"), {"bad": 0.005}) for name in names}
    causes = {
        "a": cause("a", 0.02, {name: {"bad": 0.95} for name in names[:3]}),
        "b": cause("b", other_odds, {"odd": {"bad": 0.95}}),
    }
    bare = start(compile_links(signs, causes), Priors(unknown_odds=0.001))
    return bare.observe(*(Evidence(name, "bad", 0.95) for name in names))


def test_a_slip_is_likelier_than_a_rare_second_fault() -> None:
    """Among signs that confirm one another the one that needs a rare second cause is named."""
    suspect, *_ = accused(conflict(four_and_one(0.0005)))
    assert "odd" == suspect.evidence.sign


def test_a_second_fault_that_is_common_enough_is_believed() -> None:
    """The same sign is not accused when two causes together explain it better than a slip."""
    belief = four_and_one(0.1)
    assert () == accused(conflict(belief))
    assert max(belief.posterior().pairs.values()) > 0.5


def test_a_normal_reading_against_three_that_agree_is_named() -> None:
    """A sign as it should be, where the cause that all others show would change it, is named."""
    names = ("one", "two", "three", "odd")
    signs = {name: sign(name, ("ok", "bad"), {"bad": 0.01}) for name in names}
    causes = {"a": cause("a", 0.02, {name: {"bad": 0.99} for name in names})}
    bare = start(compile_links(signs, causes), Priors(unknown_odds=0.001))
    said = [Evidence(name, "ok" if name == "odd" else "bad", 0.9) for name in names]
    suspect, *_ = accused(conflict(bare.observe(*said)))
    assert "odd" == suspect.evidence.sign


def test_the_threshold_holds_the_accusation_back() -> None:
    """Nobody is accused below the odds that are asked for."""
    found = conflict(four_and_one(0.0005))
    worst = found.suspects[0]
    assert () == accused(found, worst.slip_odds * 1.001)
    assert (worst,) == accused(found, worst.slip_odds)[:1]


@settings(max_examples=30)
@given(seeds)
def test_relief_is_the_fall_of_the_measure(seed: int) -> None:
    """Leaving a piece out lowers the measure over the same hypotheses by its relief."""
    belief = drawn(seed)
    pairs = belief.leading_pairs()
    alone = {one: belief.seen([one]).log_evidence(pairs) for one in belief.said}
    found = conflict(belief)
    for suspect in found.suspects:
        rest = belief.said - {suspect.evidence}
        left = sum(alone[one] for one in rest) - belief.seen(rest).log_evidence(pairs)
        assert suspect.relief == pytest.approx(found.measure - left, abs=1e-9)


def test_two_signs_of_which_a_cause_shows_only_one_or_the_other_conflict() -> None:
    """The measure is above 0 for signs that no likely hypothesis shows together."""
    signs = {name: sign(name, ("ok", "bad"), {"bad": 0.001}) for name in ("one", "two")}
    causes = {
        "a": cause("a", 1.0, {"one": {"bad": 0.9}}),
        "b": cause("b", 1.0, {"two": {"bad": 0.9}}),
    }
    bare = start(compile_links(signs, causes), Priors(unknown_odds=0.0), leading=0)
    found = conflict(bare.observe(Evidence("one", "bad"), Evidence("two", "bad")))
    assert found.measure > 3
    assert all(suspect.relief == pytest.approx(found.measure) for suspect in found.suspects)


def test_no_evidence_accuses_nobody() -> None:
    """An empty session has nothing to take again."""
    found = conflict(four_and_one(0.1).seen(()))
    assert (0.0, ()) == (found.measure, found.suspects)
    assert () == accused(found)
