"""Links between causes and signs, compiled into tables."""

import itertools
import random
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.reason.belief.links import compile_links
from tests.reason.belief.networks import Network, cause, random_network, sign, slow_chance

FEVER = {
    # AIMA (Russell and Norvig) 14.3: inhibitions cold 0.6, flu 0.2, malaria 0.1, no leak.
    "": 0.0,
    "m": 0.9,
    "f": 0.8,
    "fm": 0.98,
    "c": 0.4,
    "cm": 0.94,
    "cf": 0.88,
    "cfm": 0.988,
}


@pytest.mark.parametrize(("ill", "expected"), FEVER.items())
def test_two_states_are_noisy_or(ill: str, expected: float) -> None:
    """The published noisy-OR table of fever comes out for every set of causes."""
    strengths = {"c": 0.4, "f": 0.8, "m": 0.9}
    causes = {name: cause(name, 1.0, {"fever": {"yes": a}}) for name, a in strengths.items()}
    links = compile_links({"fever": sign("fever", ("no", "yes"), {})}, causes)
    present = [links.cause_index[one] for one in ill]
    assert links.table("fever").chances(present)[1] == pytest.approx(expected, abs=1e-15)


@given(st.integers(0, 10**6))
def test_tables_agree_with_the_obvious_evaluator(seed: int) -> None:
    """Every set of up to three causes gives the chances that the formula gives written out."""
    network = random_network(random.Random(seed), 4, 2, states=(2, 3, 4), links=3)
    links = compile_links(network.signs, network.causes)
    for table, size in itertools.product(links.tables, range(4)):
        for present in itertools.combinations(range(4), size):
            names = [links.causes[one] for one in present]
            slow = [slow_chance(network, names, table.sign, state) for state in table.states]
            assert list(table.chances(present)) == pytest.approx(slow, abs=1e-12)


@pytest.mark.parametrize(
    ("shows", "message"),
    [
        ({"noise": {"loud": 0.5}}, "cause `c` shows `noise`, which is not a sign"),
        (
            {"lamp": {"steady": 0.5}},
            "cause `c` shows `lamp` as `steady`; it can only show one of its states after the "
            "first: dim, off",
        ),
        (
            {"lamp": {"dim": 0.5, "off": 0.5}},
            "cause `c` on `lamp`: strengths [0.5, 0.5] must be 0 or more and add to less than 1",
        ),
    ],
)
def test_a_wrong_link_is_refused_in_one_sentence(
    shows: dict[str, dict[str, float]], message: str
) -> None:
    """A link to no sign, to a sign's first state, or for certain, is named and refused."""
    network = Network(
        {"lamp": sign("lamp", ("steady", "dim", "off"), {})}, {"c": cause("c", 1.0, shows)}
    )
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        compile_links(network.signs, network.causes)
