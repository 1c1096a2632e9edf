"""Competing clocks, in one reading and in two with a repair between."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.reason.belief.belief import Evidence, Priors, start
from diag.reason.belief.competing_risks import added, chance_of_both, chances_of, rates_of
from diag.reason.belief.links import compile_links
from tests.reason.belief.networks import cause, sign

strengths = st.lists(st.floats(0, 0.32), min_size=3, max_size=3)


@given(strengths)
def test_one_cause_without_leak_gives_its_strengths_back(links: list[float]) -> None:
    """Rates and chances are inverse for a cause on its own."""
    chances = chances_of(rates_of(links))
    assert list(chances[1:]) == pytest.approx(links, abs=1e-12)
    assert math.fsum(chances) == pytest.approx(1, abs=1e-12)


@given(strengths, strengths)
def test_two_readings_add_up_to_each_of_them(gone: list[float], left: list[float]) -> None:
    """Over the other reading the joint chances add up to those of one reading alone."""
    away, stayed = rates_of(gone), rates_of(left)
    table = [
        [chance_of_both(away, stayed, before, after) for after in range(4)] for before in range(4)
    ]
    first, last = chances_of(added([away, stayed])), chances_of(stayed)
    assert first == pytest.approx([math.fsum(row) for row in table], abs=1e-12)
    assert last == pytest.approx([math.fsum(column) for column in zip(*table, strict=True)])


@given(strengths)
def test_what_was_not_repaired_goes_on_showing(links: list[float]) -> None:
    """With nothing gone both readings are the same."""
    left, nothing = rates_of(links), tuple[float, ...]((0.0,) * 3)
    expected = chances_of(left)
    for before in range(4):
        shown = [chance_of_both(nothing, left, before, after) for after in range(4)]
        wanted = [expected[before] if after == before else 0.0 for after in range(4)]
        assert wanted == pytest.approx(shown, abs=1e-12)


def test_what_was_hidden_shows_once_the_cause_that_hid_it_is_repaired() -> None:
    """A walk that ends half way, once the lock is repaired, tells of the hole as the other half."""
    signs = {"walk": sign("walk", ("home", "half way", "door"), {"door": 0.01})}
    causes = {
        "hole": cause("hole", 0.1, {"walk": {"half way": 0.8}}),
        "lock": cause("lock", 0.1, {"walk": {"door": 0.9}}),
        "moss": cause("moss", 0.1, {}),
    }
    bare = start(compile_links(signs, causes), Priors())
    seen = bare.observe(Evidence("walk", "door", 0.95)).repair_failed("lock", 0)
    now = seen.observe(Evidence("walk", "half way", 0.95, 1)).remaining()
    assert now.ranking[0][0] == "hole"
    assert now.causes["hole"] > 0.5 > seen.remaining().causes["hole"]
