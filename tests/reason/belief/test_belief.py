"""Laws of the belief in causes, against a slow evaluator."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.reason.belief.belief import Belief, Evidence, Priors, RepairDone, start
from diag.reason.belief.links import compile_links
from tests.reason.belief.networks import (
    PRIORS,
    Network,
    cause,
    everything,
    random_evidence,
    random_network,
    sign,
    slow_chance,
    slow_weight,
)

seeds = st.integers(0, 10**9)


def drawn(seed: int, leading: int = 5, stages: int = 1) -> tuple[Network, Belief, list[Evidence]]:
    """Return a random network of six causes, its bare belief and some evidence."""
    rng = random.Random(seed)
    network = random_network(rng, 6, 6, states=(2, 3, 4), links=3)
    bare = start(compile_links(network.signs, network.causes), PRIORS, "dead", leading=leading)
    return network, bare, random_evidence(rng, network, rng.randint(0, 6), stages)


def slow_unknown(network: Network, evidence: list[Evidence]) -> float:
    """Return the likelihood under what is not known: any state alike, then mostly the same."""
    chance, last = 1.0, dict[str, Evidence]()
    for one in sorted(evidence, key=lambda one: one.stage):
        flat, earlier = 1 / len(network.signs[one.sign].states), last.get(one.sign)
        again = flat
        if earlier:
            trust = one.reliability * earlier.reliability
            again = trust * (one.state == earlier.state) + (1 - trust) * flat
        chance *= PRIORS.sign_persistence * again + (1 - PRIORS.sign_persistence) * flat
        last[one.sign] = one
    return chance


@given(seeds, st.integers(0, 3))
def test_equals_the_obvious_evaluator(seed: int, repairs: int) -> None:
    """Singles, pairs, nothing and unknown weigh what multiplying everything out gives."""
    network, bare, evidence = drawn(seed, stages=3)
    rng = random.Random(seed + 1)
    done = [
        RepairDone(
            rng.choice(bare.links.causes),
            stage,
            rng.random() < 0.5,
            going_on=("dead",) * (rng.random() < 0.5),
        )
        for stage in range(repairs)
    ]
    posterior = bare.observe(*evidence).with_repairs(done).posterior()
    sets = [frozenset[str]()] + [frozenset([c]) for c in bare.links.causes]
    sets += [frozenset(pair) for pair in posterior.pairs]
    weights = [slow_weight(network, s, evidence, PRIORS, "dead", done) for s in sets]
    unknown = PRIORS.unknown_odds * PRIORS.complaint_unknown * slow_unknown(network, evidence)
    total = math.fsum([*weights, unknown])
    expected = [weight / total for weight in weights]
    singles = [posterior.singles[c] for c in bare.links.causes]
    assert expected == pytest.approx(
        [posterior.nothing, *singles, *posterior.pairs.values()], abs=1e-12, rel=1e-9
    )
    assert unknown / total == pytest.approx(posterior.unknown, abs=1e-12, rel=1e-9)


@given(seeds, st.randoms(use_true_random=False))
def test_order_of_evidence_never_matters(seed: int, shuffle: random.Random) -> None:
    """Any order of answers, one at a time or at once, gives the same belief to the last bit."""
    _, bare, evidence = drawn(seed)
    at_once = bare.seen(evidence)
    shuffle.shuffle(evidence)
    stepwise = bare
    for one in evidence:
        stepwise = stepwise.observe(one)
    assert at_once == stepwise
    assert everything(at_once.posterior()) == everything(stepwise.posterior())


@given(seeds, st.data())
def test_correcting_and_withdrawing_equal_a_fresh_start(seed: int, data: st.DataObject) -> None:
    """Whatever was said and taken back leaves no trace, to the last bit."""
    network, bare, evidence = drawn(seed, stages=2)
    belief = bare.observe(*evidence).repair_failed(bare.links.causes[0], 0)
    kept: list[Evidence] = []
    for one in evidence:
        fate = data.draw(st.sampled_from(["keep", "withdraw", "correct"]))
        if fate == "withdraw":
            belief = belief.withdraw(one.sign, one.stage)
            continue
        if fate == "correct":
            one = one._replace(state=data.draw(st.sampled_from(network.signs[one.sign].states)))
            belief = belief.observe(one)
        kept.append(one)
    fresh = bare.repair_failed(bare.links.causes[0], 0).seen(kept)
    assert fresh == belief
    assert everything(fresh.posterior()) == everything(belief.posterior())


@given(seeds)
def test_a_doubtful_answer_never_zeroes_a_cause(seed: int) -> None:
    """Without a rule that rules it out every hypothesis keeps a probability above nought."""
    _, bare, evidence = drawn(seed)
    posterior = bare.observe(*evidence).posterior()
    assert all(probability > 0 for probability in everything(posterior))


def test_even_a_certain_reading_against_a_sign_that_never_leaks_zeroes_nothing() -> None:
    """A state that no clock can bring about costs 120 decibans, not everything."""
    network = Network(
        {"lamp": sign("lamp", ("steady", "off"), {})},
        {"a": cause("a", 0.5, {"lamp": {"off": 0.75}}), "b": cause("b", 0.5, {})},
    )
    bare = start(compile_links(network.signs, network.causes), PRIORS)
    singles = bare.observe(Evidence("lamp", "off")).posterior().singles
    assert singles["b"] / singles["a"] == pytest.approx(1e-12 / 0.75)


@pytest.mark.parametrize(("state", "left"), [("off", 1.0), ("steady", 0.0)])
def test_a_thousand_readings_do_not_run_out_of_range(state: str, left: float) -> None:
    """Weights beyond what a float holds, many times over, still give probabilities."""
    names = [f"lamp {number:03}" for number in range(1000)]
    lamps = {name: sign(name, ("steady", "off"), {"off": 0.01}) for name in names}
    shows = {name: {"off": 0.99} for name in names}
    links = compile_links(lamps, {"a": cause("a", 0.5, shows)})
    posterior = start(links, PRIORS).observe(*[Evidence(n, state) for n in names]).posterior()
    assert posterior.singles["a"] == pytest.approx(left, abs=1e-12)
    assert math.fsum(everything(posterior)) == pytest.approx(1, abs=1e-12)


@given(seeds)
def test_no_reliability_is_the_same_as_not_said(seed: int) -> None:
    """An answer of reliability 0 changes nothing, not even by superseding another."""
    _, bare, evidence = drawn(seed)
    idle = [one._replace(reliability=0.0) for one in evidence[:3]]
    assert everything(bare.seen(evidence[3:]).posterior()) == everything(
        bare.seen([*idle, *evidence[3:]]).posterior()
    )


@given(seeds)
def test_an_unlinked_cause_leaves_the_ratios_of_the_others_alone(seed: int) -> None:
    """Adding a cause that shows nothing changes no ratio among the other hypotheses."""
    network, bare, evidence = drawn(seed)
    more = {**network.causes, "zz": cause("zz", 0.02, {}, {"dead": 0.5})}
    wider = start(compile_links(network.signs, more), PRIORS, "dead", leading=5)
    before = bare.observe(*evidence).posterior()
    after = wider.observe(*evidence).posterior()
    scale = after.nothing / before.nothing
    shared = before.pairs.keys() & after.pairs.keys()
    assert after.unknown == pytest.approx(scale * before.unknown)
    for name in network.causes:
        assert after.singles[name] == pytest.approx(scale * before.singles[name])
    for pair in shared:
        assert after.pairs[pair] == pytest.approx(scale * before.pairs[pair])


@given(seeds)
def test_only_an_excluded_cause_has_no_probability(seed: int) -> None:
    """Excluding takes a cause and its pairs out, keeps all other ratios, and can be undone."""
    _, bare, evidence = drawn(seed)
    belief = bare.observe(*evidence)
    out = belief.links.causes[0]
    before, after = belief.posterior(), belief.excluding([out]).posterior()
    assert after.causes[out] == 0
    assert after.singles["cause 0001"] / after.nothing == pytest.approx(
        before.singles["cause 0001"] / before.nothing
    )
    assert belief.excluding([out]).excluding(()) == belief


def test_a_superseded_sign_is_left_out_at_its_stage_only() -> None:
    """One fact is not counted twice, and is back when the better sign is withdrawn."""
    better = sign("better", ("ok", "bad"), {"bad": 0.02}, over=["guess"])
    signs = {"guess": sign("guess", ("ok", "bad"), {"bad": 0.02}), "better": better}
    causes = {"a": cause("a", 0.1, {name: {"bad": 0.85} for name in signs})}
    bare = start(compile_links(signs, causes), PRIORS)
    guess, measured = Evidence("guess", "bad", 0.8), Evidence("better", "bad", 0.95)
    assert {(0, "better")} == bare.observe(guess, measured).used.keys()
    assert bare.observe(guess) == bare.observe(guess, measured).withdraw("better")
    later = measured._replace(stage=1)
    assert {(0, "guess"), (1, "better")} == bare.observe(guess, later).used.keys()


def test_a_sign_in_two_states_at_once_says_nothing() -> None:
    """Contradictory states are no evidence, and do not supersede either."""
    better = sign("better", ("ok", "bad"), {"bad": 0.02}, over=["guess"])
    signs = {"guess": sign("guess", ("ok", "bad"), {"bad": 0.02}), "better": better}
    causes = {"a": cause("a", 0.1, {name: {"bad": 0.85} for name in signs})}
    bare = start(compile_links(signs, causes), PRIORS)
    torn = [Evidence("better", "bad", 0.9), Evidence("better", "ok", 0.6)]
    assert (
        bare.seen([Evidence("guess", "bad")]).used
        == bare.seen([*torn, Evidence("guess", "bad")]).used
    )


@given(seeds)
def test_prediction_is_the_mean_over_hypotheses(seed: int) -> None:
    """The predicted states of a sign are each hypothesis' chances, weighed by its probability."""
    network, bare, evidence = drawn(seed)
    posterior = bare.observe(*evidence).repair_failed("cause 0002", 0).remaining()
    sets: list[tuple[float, tuple[str, ...]]] = [(posterior.nothing, ())]
    sets += [(p, (name,)) for name, p in posterior.singles.items()]
    sets += [(p, pair) for pair, p in posterior.pairs.items()]
    for name, one in network.signs.items():
        for state, predicted in posterior.predict(name).items():
            mean = math.fsum(p * slow_chance(network, s, name, state) for p, s in sets)
            assert mean + posterior.unknown / len(one.states) == pytest.approx(predicted)


def test_equal_causes_are_ranked_by_id() -> None:
    """Ties are broken by id, whatever the order in which the causes were given."""
    causes = {name: cause(name, 0.1, {}) for name in ("b", "c", "a")}
    posterior = start(compile_links({}, causes), PRIORS).posterior()
    assert [name for name, _ in posterior.ranking] == ["a", "b", "c"]


def test_the_best_explainer_of_each_state_is_among_the_leading() -> None:
    """A rare cause that alone explains a state is paired though many are likelier on their own."""
    signs = {"odd": sign("odd", ("ok", "bad"), {"bad": 0.02})}
    causes = {f"c{n}": cause(f"c{n}", 0.2, {}) for n in range(8)}
    causes["rare"] = cause("rare", 0.001, {"odd": {"bad": 0.85}})
    belief = start(compile_links(signs, causes), PRIORS, leading=4)
    assert "rare" not in {one for pair in belief.posterior().pairs for one in pair}
    seen = belief.observe(Evidence("odd", "bad", 0.9)).posterior()
    assert {("c0", "rare"), ("c1", "rare")} <= seen.pairs.keys()
    assert len(seen.pairs) == 6


@settings(max_examples=20)
@given(seeds)
def test_probabilities_add_to_one(seed: int) -> None:
    """All hypotheses together are certain, before and after a repair."""
    _, bare, evidence = drawn(seed)
    belief = bare.observe(*evidence).repair_failed("cause 0003", 0)
    for posterior in (belief.posterior(), belief.remaining()):
        assert math.fsum(everything(posterior)) == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize(
    ("evidence", "message"),
    [
        (Evidence("one", "odd"), "`one` has no state `odd`"),
        (Evidence("one", "bad", 1.5), "reliability 1.5 of `one` is not 0 to 1"),
    ],
)
def test_impossible_evidence_is_refused(evidence: Evidence, message: str) -> None:
    """A state that the sign has not, and a reliability beyond 0 to 1, are named."""
    links = compile_links({"one": sign("one", ("ok", "bad"), {})}, {})
    with pytest.raises(ValueError, match=f"^{message}$"):
        start(links, Priors()).observe(evidence)
