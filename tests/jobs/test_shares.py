"""Shares by rules and record, held to scipy's Dirichlet and beta distributions."""

from __future__ import annotations

from collections import Counter
from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from diag.jobs.learning.beta import Beta
from diag.jobs.learning.shares import as_recalled, dirichlet, learned_shares, rules_shares
from diag.reason.belief.links import compile_links
from diag.session.state import SessionState
from tests.jobs.loaves import BREAD, LOAF, POOR

PARTS = st.floats(0.02, 400)
COUNTS = st.lists(st.integers(0, 60), min_size=2, max_size=6)


@settings(deadline=None)
@given(PARTS, PARTS, st.floats(0.001, 0.999))
def test_the_beta_distribution_is_scipys(a: float, b: float, chance: float) -> None:
    """How sure a chance is below a number is scipy.stats.beta.cdf."""
    assert stats.beta(a, b).cdf(chance) == pytest.approx(Beta(a, b).below(chance), abs=1e-10)


@settings(deadline=None)
@given(PARTS, PARTS, st.sampled_from((0.5, 0.8, 0.95, 0.99)))
def test_the_interval_is_scipys(a: float, b: float, sure: float) -> None:
    """The middle interval is scipy.stats.beta.interval."""
    assert stats.beta(a, b).interval(sure) == pytest.approx(Beta(a, b).interval(sure), abs=1e-9)


@given(COUNTS, st.floats(1, 200))
def test_the_mean_is_scipys_dirichlet(counts: list[int], strength: float) -> None:
    """The shares after the counts are the mean of scipy.stats.dirichlet, and so are the spreads."""
    shares = {f"cause {at}": 1 / len(counts) for at in range(len(counts))}
    told = {f"cause {at}": count for at, count in enumerate(counts)}
    theirs = stats.dirichlet([strength / len(counts) + count for count in counts])
    ours = dirichlet(shares, told, strength)
    assert list(theirs.mean()) == pytest.approx([one.mean for one in ours.values()])
    spreads = [stats.beta(one.a, one.b).var() for one in ours.values()]
    assert list(theirs.var()) == pytest.approx(spreads)


def test_a_worked_row() -> None:
    """From (6, 3, 1) and counts of (2, 5, 3) come (8, 8, 4) of 20, with spreads and an interval.

    Worked out beside this program by the textbook's formulas; the chance of the repairs one after
    the other is the product of the share that each had just before it.
    """
    rules, counts = {"rust": 0.6, "wear": 0.3, "dirt": 0.1}, {"rust": 2, "wear": 5, "dirt": 3}
    found = dirichlet(rules, counts, 10.0)
    assert (0.4, 0.4, 0.2) == pytest.approx([one.mean for one in found.values()])
    spreads = [stats.beta(one.a, one.b).std() for one in found.values()]
    assert (0.107, 0.107, 0.087) == pytest.approx(spreads, abs=5e-4)
    assert (0.230, 0.582) == pytest.approx(found["rust"].interval(0.9), abs=5e-4)
    log_chance, before = 0.0, dict.fromkeys(rules, 0)
    for name in (name for name, count in counts.items() for _ in range(count)):
        log_chance += log(dirichlet(rules, before, 10.0)[name].mean)
        before[name] += 1
    assert -13.1766 == pytest.approx(log_chance, abs=5e-5)


def test_by_hand() -> None:
    """A share of 0.1 worth 20 repairs, and 8 more of 37, makes (2 + 8) / (20 + 37)."""
    shares, counts = {"one": 0.1, "other": 0.9}, {"one": 8, "other": 29}
    assert 10 / 57 == pytest.approx(dirichlet(shares, counts, 20)["one"].mean)


@given(st.lists(st.sampled_from(sorted(BREAD.causes)), max_size=60), st.randoms())
def test_the_order_of_jobs_does_not_matter(causes: list[str], chance: object) -> None:
    """The shares follow from how often each cause was proved, in whatever order the jobs came."""
    turned = causes[:]
    chance.shuffle(turned)  # type: ignore[attr-defined]
    one, other = (Counter((LOAF, name) for name in row) for row in (causes, turned))
    assert learned_shares(BREAD, POOR, one) == learned_shares(BREAD, POOR, other)


def test_the_rules_shares_are_what_a_session_believes() -> None:
    """By the rules alone a cause has the share that a session gives it, before any reading."""
    rules = rules_shares(compile_links(BREAD.signs, BREAD.causes), BREAD.scales.settings, POOR)
    singles = SessionState(BREAD, BREAD.units[LOAF], POOR).posterior.singles
    total = sum(singles.values())
    assert {name: share / total for name, share in singles.items()} == pytest.approx(rules)
    assert 1.0 == pytest.approx(sum(rules.values()))


def test_a_session_that_recalls_them_believes_them() -> None:
    """What is written into the journal makes the session's shares those of the Dirichlet mean."""
    found = learned_shares(BREAD, POOR, {(LOAF, "top not slashed"): 4, (LOAF, "door opened"): 2})
    state = SessionState(BREAD, BREAD.units[LOAF], POOR)
    nothing = state.posterior.nothing / sum(state.posterior.singles.values())
    state.apply(as_recalled(found))
    singles = state.posterior.singles
    total = sum(singles.values())
    wanted = {one.cause: one.here.mean for one in found.shares}
    assert wanted == pytest.approx({name: share / total for name, share in singles.items()}, 1e-4)
    # The record tells causes from each other; whether anything is wrong at all, it does not say.
    assert nothing == pytest.approx(state.posterior.nothing / total, rel=1e-4)


def test_nothing_on_record_moves_nothing() -> None:
    """With no proved repair there is nothing to recall."""
    assert () == as_recalled(learned_shares(BREAD, POOR, {})).shares


def test_a_unit_with_enough_is_weighed_by_itself() -> None:
    """Where a unit has as many repairs as the rules are worth, the others come first, then its own.

    Rules 20 strong; others 20 of one cause, own 20 of another: that one has
    (20 * (20 r / 40) + 20) / 40 = r / 4 + 1/2 of this unit.
    """
    strength = round(BREAD.scales.settings.record_strength)
    record = {(LOAF, "door opened"): strength, ("other loaf", "top not slashed"): strength}
    found = learned_shares(BREAD, POOR, record, LOAF)
    of = {one.cause: one for one in found.shares}
    assert (2 * strength, strength) == (found.repairs, found.of_unit)
    opened = of["door opened"]
    assert opened.rules / 4 + 0.5 == pytest.approx(opened.here.mean)
    fewer = learned_shares(BREAD, POOR, {**record, (LOAF, "door opened"): strength - 1}, LOAF)
    assert fewer.of_unit is None
