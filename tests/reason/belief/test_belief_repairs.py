"""Belief in causes after a repair: what is left, and what the same sign says once more."""

import pytest

from diag.reason.belief.belief import Belief, Evidence, Priors, start
from diag.reason.belief.links import compile_links
from tests.reason.belief.networks import cause, everything, sign


def two_faults() -> Belief:
    """Return belief in a pair of faults, each with a sign of its own, both seen."""
    signs = {name: sign(name, ("ok", "bad"), {"bad": 0.01}) for name in ("one", "two")}
    causes = {
        "a": cause("a", 0.1, {"one": {"bad": 0.85}}),
        "b": cause("b", 0.1, {"two": {"bad": 0.85}}),
        "c": cause("c", 0.1, {}),
    }
    bare = start(compile_links(signs, causes), Priors(unknown_odds=0.001))
    return bare.observe(Evidence("one", "bad", 0.95), Evidence("two", "bad", 0.95))


def test_after_a_failed_proof_belief_goes_on_with_the_other_half() -> None:
    """Repairing one of a pair without success leaves the other half as what is wrong now."""
    belief = two_faults()
    assert max(belief.posterior().pairs, key=belief.posterior().pairs.__getitem__) == ("a", "b")
    left = belief.repair_failed("a", 0).remaining()
    assert left.ranking[0][0] == "b"
    assert left.causes["a"] == 0
    assert left.causes["b"] > belief.posterior().causes["b"]


def test_a_repair_proved_in_part_carries_no_penalty() -> None:
    """Without a failed proof the repaired cause keeps its weight among what was wrong."""
    belief = two_faults()
    before, after = belief.posterior(), belief.repair_proved_in_part("a", 0).posterior()
    assert everything(before) == everything(after)
    assert after.singles["a"] * 0.05 / after.pairs["a", "b"] == pytest.approx(
        (failed := belief.repair_failed("a", 0).posterior()).singles["a"] / failed.pairs["a", "b"]
    )


@pytest.mark.parametrize(("state", "sense"), [("ok", 1), ("bad", -1)])
def test_a_sign_that_goes_with_a_repair_speaks_for_another_cause_beside_it(
    state: str, sense: int
) -> None:
    """It was there and is gone, so something else is left; a sign that stays says that the
    repair did not take. Neither says anything of other causes."""
    belief = two_faults().repair_failed("a", 0)
    later = belief.observe(Evidence("one", state, 0.95, stage=1))
    before, after = belief.posterior(), later.posterior()
    beside = after.pairs["a", "b"] / after.singles["b"]
    assert (beside - before.pairs["a", "b"] / before.singles["b"]) * sense > 0
    alone = after.singles["a"] / after.nothing
    assert (alone - before.singles["a"] / before.nothing) * sense < 0
    assert before.singles["b"] / before.nothing == pytest.approx(after.singles["b"] / after.nothing)


def test_the_same_reading_after_a_repair_that_touched_nothing_of_it_is_hardly_new() -> None:
    """A weak link and a strong one to what goes on showing are not weighed against each other
    again; what only the chance of its not lasting says of them is left."""
    states = ("ok", "bad")
    causes = {
        "weak": cause("weak", 0.1, {"lamp": {"bad": 0.15}}),
        "strong": cause("strong", 0.1, {"lamp": {"bad": 0.85}}),
        "other": cause("other", 0.1, {}),
    }
    links = compile_links({"lamp": sign("lamp", states, {"bad": 0.01})}, causes)
    once = start(links, Priors(sign_persistence=1.0)).observe(Evidence("lamp", "bad"))
    again = once.repair_failed("other", 0).observe(Evidence("lamp", "bad", stage=1))
    before, after = once.posterior().singles, again.posterior().singles
    assert before["strong"] / before["weak"] == pytest.approx(after["strong"] / after["weak"])


@pytest.mark.parametrize("runs", [1, 3])
def test_a_run_that_failed_with_nothing_repaired_speaks_against_a_sound_unit(runs: int) -> None:
    """Each such run makes `nothing wrong` less likely by `repair fails`, and nothing else."""
    before = start(two_faults().links, Priors(unknown_odds=0.02, repair_fails=0.1))
    found, after = before.posterior(), before.after_failed_runs(runs).posterior()
    total = 1 - found.nothing + found.nothing * 0.1**runs
    assert found.nothing * 0.1**runs / total == pytest.approx(after.nothing)
    assert found.unknown / total == pytest.approx(after.unknown)
    for cause_id, share in found.causes.items():
        assert share / total == pytest.approx(after.causes[cause_id])
