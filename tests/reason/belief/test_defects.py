"""Laws of defects in plain sight, against the slow evaluator."""

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.reason.belief.belief import Belief, Evidence, Priors, RepairDone, start
from diag.reason.belief.conflict import conflict
from diag.reason.belief.links import compile_links
from tests.reason.belief.networks import (
    PRIORS,
    Network,
    cause,
    everything,
    random_evidence,
    random_network,
    sign,
    slow_seen,
    slow_weight,
    with_defects,
)

seeds = st.integers(0, 10**9)


def drawn(seed: int, repairs: int = 0) -> tuple[Network, Belief, list[RepairDone]]:
    """Draw a network of which half the signs can show a fault in plain sight, and what was read."""
    rng = random.Random(seed)
    network = with_defects(rng, random_network(rng, 6, 6, states=(2, 3, 4), links=3), 3)
    bare = start(compile_links(network.signs, network.causes), PRIORS, "dead", leading=6)
    done = [
        RepairDone(
            rng.choice(bare.links.causes),
            stage,
            rng.random() < 0.5,
            going_on=("dead",) * (rng.random() < 0.5),
        )
        for stage in range(repairs)
    ]
    evidence = random_evidence(rng, network, rng.randint(1, 6), repairs + 1)
    told = [
        one._replace(hearsay=rng.random() < 0.2, reliability=min(one.reliability, 0.97))
        for one in evidence
    ]
    return network, bare.observe(*told).with_repairs(done), done


@given(seeds, st.integers(0, 2))
def test_every_hypothesis_is_what_is_seen_and_up_to_two_more(seed: int, repairs: int) -> None:
    """With what is seen in each, all sets of causes weigh what multiplying everything out gives."""
    network, belief, done = drawn(seed, repairs)
    seen, posterior = frozenset(slow_seen(network, belief.said, done)), belief.posterior()
    found = {frozenset(several): share for several, share in posterior.pairs.items()}
    found |= {frozenset([one]): share for one, share in posterior.singles.items() if share}
    found |= {frozenset(): posterior.nothing} if posterior.nothing else {}
    assert all(seen <= present for present in found)
    others = [one for one in network.causes if one not in seen]
    assert {seen, *(seen | {one} for one in others)} <= found.keys()
    weights = {
        present: slow_weight(network, present, belief.said, PRIORS, "dead", done, seen)
        for present in found
    }
    total, known = math.fsum(weights.values()), math.fsum(found.values())
    expected = {present: weight / total for present, weight in weights.items()}
    assert expected == pytest.approx(
        {present: share / known for present, share in found.items()}, abs=1e-9, rel=1e-7
    )


@given(seeds, st.integers(0, 2), st.randoms(use_true_random=False))
def test_what_is_seen_stays_whatever_else_is_read(
    seed: int, repairs: int, shuffle: random.Random
) -> None:
    """A cause in plain sight is as likely as its looks are reliable, in any order of readings."""
    network, belief, done = drawn(seed, repairs)
    seen = slow_seen(network, belief.said, done)
    assert seen == pytest.approx(belief.posterior().in_sight)
    mended = {repair.cause for repair in done}
    left = {one: trust for one, trust in seen.items() if one not in mended}
    causes = belief.remaining().causes
    assert left == pytest.approx({one: causes[one] for one in left})
    said = list(belief.said)
    shuffle.shuffle(said)
    stepwise = belief.seen(())
    for one in said:
        stepwise = stepwise.observe(one)
    assert everything(belief.posterior()) == everything(stepwise.posterior())


@given(seeds)
def test_what_is_seen_is_never_accused(seed: int) -> None:
    """No reading that shows a fault in plain sight is called a slip, however odd it looks."""
    _, belief, _ = drawn(seed)
    found = {suspect.evidence.sign for suspect in conflict(belief).suspects}
    faults = {one.sign for one in belief.said if belief.shows_defect(one)}
    assert {key[1] for key in belief.used} - faults == found


@given(seeds, st.integers(0, 2), st.sampled_from([0.6, 0.95, 1.0]))
@settings(max_examples=60)
def test_no_look_that_shows_no_fault_is_expected_to_move_belief(
    seed: int, repairs: int, trust: float
) -> None:
    """Over all states of a sign without faults the mean of the posteriors is the posterior now."""
    network, belief, _ = drawn(seed, repairs)
    came, now = belief.posterior(), {one.sign for one in belief.said if one.stage == belief.stage}
    for name, one in network.signs.items():
        if name in now or one.defects:
            continue
        look, mean = belief.look(name, trust), [0.0] * len(came.single)
        for place, state in enumerate(one.states):
            shares = [(came.nothing, look.chance(place, ()))]
            shares += [(share, look.chance(place, (c,))) for c, share in enumerate(came.single)]
            shares += [(share, look.chance(place, several)) for several, share in came.pair.items()]
            shares += [(came.unknown, look.chance_of_unknown(place))]
            chance = math.fsum(share * given for share, given in shares)
            after = belief.observe(Evidence(name, state, trust, belief.stage)).posterior()
            mean = [m + chance * share for m, share in zip(mean, after.present(), strict=True)]
        assert came.present() == pytest.approx(mean, abs=1e-9)


@given(seeds, st.sampled_from([0.6, 0.95, 1.0]))
@settings(max_examples=60)
def test_a_look_that_may_show_a_fault_is_not_expected_to_make_it_likelier(
    seed: int, trust: float
) -> None:
    """Over all states of a sign that may show a fault, that fault gains and loses alike."""
    network, belief, _ = drawn(seed)
    came, looked = belief.posterior(), {one.sign for one in belief.said}
    for name, one in network.signs.items():
        faults = [belief.links.cause_index[fault] for fault in one.defects.values()]
        if name in looked or not faults or faults[0] in belief.seen_causes:
            continue
        look, mean = belief.look(name, trust), 0.0
        for place, state in enumerate(one.states):
            shares = [(came.nothing, look.chance(place, ()))]
            shares += [(share, look.chance(place, (c,))) for c, share in enumerate(came.single)]
            shares += [(share, look.chance(place, several)) for several, share in came.pair.items()]
            shares += [(came.unknown, look.chance_of_unknown(place))]
            chance = math.fsum(share * given for share, given in shares)
            after = belief.observe(Evidence(name, state, trust)).posterior()
            mean += chance * after.present()[faults[0]]
        assert came.present()[faults[0]] == pytest.approx(mean, abs=1e-9)


def cracked(*, hearsay: bool = False) -> Belief:
    """Return the belief where a rare crack is seen and a common cause explains the complaint."""
    signs = {
        "case": sign("case", ("whole", "cracked"), {}, defects={"cracked": "crack"}),
        "smoke": sign("smoke", ("none", "dark"), {"dark": 0.02}),
    }
    causes = {
        "crack": cause("crack", 0.001, {"case": {"cracked": 0.85}}, {"smokes": 0.15}),
        "soot": cause("soot", 0.06, {"smoke": {"dark": 0.85}}, {"smokes": 0.85}),
    }
    bare = start(compile_links(signs, causes), Priors(), "smokes")
    shown = Evidence("case", "cracked", 0.95, hearsay=hearsay)
    return bare.observe(shown, Evidence("smoke", "dark", 0.95))


def test_another_cause_of_the_complaint_does_not_explain_a_defect_away() -> None:
    """The crack is as likely as the look holds, and the other is believed beside it."""
    posterior = cracked().posterior()
    assert posterior.causes["crack"] == 0.95
    assert posterior.causes["soot"] > 0.5
    assert set(posterior.pairs) == {("crack", "soot")}


def test_what_one_was_told_is_not_in_plain_sight() -> None:
    """A crack by hearsay is weighed as any other sign."""
    assert cracked(hearsay=True).posterior().causes["crack"] < 0.5


def test_only_another_look_at_the_same_sign_takes_a_defect_back() -> None:
    """Seen whole later the crack is gone; once it was mended it was there all the same."""
    belief = cracked().repair_failed("soot", 0)
    whole = Evidence("case", "whole", 0.95, stage=1)
    assert {} == belief.observe(whole).posterior().in_sight
    mended = cracked().repair_failed("crack", 0).observe(whole)
    assert {"crack": 0.95} == mended.posterior().in_sight
    assert {} == mended.remaining().in_sight


def test_two_looks_that_show_one_defect_hold_better_than_one() -> None:
    """Both would have to slip."""
    again = sign("tap", ("rings", "rattles"), {}, defects={"rattles": "crack"})
    shows = {"case": {"cracked": 0.85}, "tap": {"rattles": 0.85}}
    network = Network(
        {"tap": again, "case": sign("case", ("whole", "cracked"), {}, (), {"cracked": "crack"})},
        {"crack": cause("crack", 0.001, shows)},
    )
    bare = start(compile_links(network.signs, network.causes), Priors())
    both = bare.observe(Evidence("case", "cracked", 0.9), Evidence("tap", "rattles", 0.9))
    assert both.posterior().in_sight == pytest.approx({"crack": 0.99})


def test_a_defect_is_explained_as_a_sign_among_others() -> None:
    """Weighing turned on, belief holds no cause for seen, so that reasons can be told."""
    belief = replace(cracked(), weighing=True)
    assert {} == belief.posterior().in_sight
    assert belief.posterior().causes["crack"] < 0.95


def two_looks(chance: float, **more: tuple[str, ...]) -> Network:
    """Return a network of one cause that comes and goes, with two signs of it."""
    signs = {name: sign(name, ("ok", "bad"), {"bad": 0.01}) for name in ("watch", "shake")}
    shows = {name: {"bad": 0.9} for name in signs}
    loose = replace(cause("loose", 0.1, shows), comes_and_goes=chance, **more)
    return Network(signs, {"loose": loose, "other": cause("other", 0.1, {})})


def after_good(network: Network, *signs: str) -> float:
    """Return the odds of the loose joint against nothing wrong once these read well."""
    links = compile_links(network.signs, network.causes)
    belief = start(links, Priors()).observe(*[Evidence(name, "ok", 0.95) for name in signs])
    return belief.posterior().singles["loose"] / belief.posterior().nothing


def test_a_good_minute_speaks_weakly_against_what_comes_and_goes() -> None:
    """Watching multiplies the strength by the chance; shaking, which brings it out, does not."""
    steady, fleeting = two_looks(1.0), two_looks(0.5, brought_out_by=("shake",))
    plain, trust = 0.95 * 0.99 + 0.025, 0.95
    watched = trust * (1 - 0.45) * 0.99 + 0.025
    assert after_good(fleeting, "watch") == pytest.approx(0.1 * watched / plain)
    assert after_good(fleeting, "shake") == pytest.approx(after_good(steady, "shake"))


def test_a_second_look_at_what_comes_and_goes_is_a_draw_of_its_own() -> None:
    """After a repair of something else, watching again says as much as the first time."""
    network = two_looks(0.5, brought_out_by=("shake",))
    links = compile_links(network.signs, network.causes)
    once = start(links, Priors(sign_persistence=1.0)).observe(Evidence("watch", "ok", 0.95))
    again = once.repair_failed("other", 0, failed=False).observe(Evidence("watch", "ok", 0.95, 1))
    first = once.posterior().singles["loose"] / 0.1 / once.posterior().nothing
    both = again.posterior().singles["loose"] / 0.1 / again.posterior().nothing
    plain, same = 0.95 * 0.99 + 0.025, again.used[1, "watch"].look.chance(0, ())
    assert first**2 * plain / same == pytest.approx(both)


def test_a_sound_variant_does_not_rule_out_the_cause() -> None:
    """Of two variants each shows half the time, so one healthy sign leaves about half."""
    variants = two_looks(1.0, any_of=("watch", "shake"))
    half = 0.95 * (1 - 0.45) * 0.99 + 0.025
    assert after_good(variants, "watch") == pytest.approx(0.1 * half / (0.95 * 0.99 + 0.025))


def test_a_new_part_mends_its_other_faults() -> None:
    """What a repair mends as well is no longer there, as if it had been repaired too."""
    network = two_looks(1.0)
    other = network.causes["other"]
    new = replace(other, repair=replace(other.repair, mends_as_well=("loose",)))
    links = compile_links(network.signs, {**network.causes, "other": new})
    belief = start(links, Priors()).observe(Evidence("shake", "bad", 0.95))
    left = belief.repair_failed("other", 0, failed=False).remaining()
    assert 0 == left.causes["loose"]
    assert belief.posterior().causes["loose"] > 0.5
