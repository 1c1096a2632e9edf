"""Layers and circles of a rule set."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.logic.graph import Circle, parts_of, stratify
from diag.model.expression import And, Arithmetic, Condition, Is, Known, Not, Ref
from diag.model.quantity import UNITS
from diag.model.rulebook import Fact, Figure, Rule
from diag.reason.chain.dependency_order import CircleFound
from diag.reason.chain.network import compile_rules


def so(name: str) -> Is:
    return Is(name, ("yes",))


def sign(name: str) -> Fact:
    return Fact("sign", name, "yes")


def horn(body: str, head: str) -> Rule:
    """Write `a,b => c` as a rule."""
    return Rule(f"{body} => {head}", And(tuple(so(name) for name in body.split(","))), sign(head))


graphs = st.integers(1, 7).flatmap(
    lambda size: st.fixed_dictionaries(
        {node: st.lists(st.integers(0, size), max_size=3) for node in range(size)}
    )
)


@given(graphs)
def test_parts_are_what_reaches_one_another(graph: dict[int, list[int]]) -> None:
    """Two nodes share a part if each reaches the other; what a node rests on comes first."""
    reach = {node: {node} for node in graph}
    for _ in graph:
        for node in graph:
            reach[node] |= {far for below in graph[node] if below in graph for far in reach[below]}
    parts = parts_of(graph)
    for node in graph:
        for other in graph:
            mutual = other in reach[node] and node in reach[other]
            assert mutual is (parts.part_of[node] == parts.part_of[other])
            assert other not in reach[node] or parts.part_of[other] <= parts.part_of[node]


def test_layers_of_a_rule_set() -> None:
    """What denies a sign lies above it; what needs it need not; dangers go by their rules."""
    rules = (
        horn("x", "a"),
        horn("a,c", "b"),
        horn("b", "c"),
        Rule("r", Not(so("b")), sign("d")),
        Rule("k", Not(Known("d")), Fact("danger", "h", "present")),
        Rule("n", Not(Not(so("d"))), Fact("excluded", "e", "ruled out")),
    )
    assert {"a": 0, "b": 0, "c": 0, "d": 1, "h": 2, "e": 1} == stratify(rules, {})


@pytest.mark.parametrize(
    ("denial", "message"),
    [
        (Not(so("a")), "`a` rests on `a` not being so"),
        (Not(so("b")), "`a` rests on `b` not being so, and `b` rests on `a`"),
        (Not(Known("c")), "`a` rests on `c` not being so, `c` rests on `b`, and `b` rests on `a`"),
    ],
)
def test_a_circle_through_not_is_named(denial: Condition, message: str) -> None:
    """A rule set with a circle through `not` is refused, with the circle and its rules."""
    rules = (Rule("a from denial", denial, sign("a")), horn("a", "b"), horn("b", "c"))
    circle = stratify(rules, {})
    assert isinstance(circle, Circle)
    assert message == str(circle)
    assert rules[0] == circle.rules[0]
    with pytest.raises(CircleFound) as found:
        compile_rules(rules)
    assert circle == found.value.circle


def figure(name: str, *inputs: str) -> Figure:
    terms = Arithmetic("+", Ref(inputs[0]), Ref(inputs[-1]))
    return Figure(name, UNITS["V"], (terms,))


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        (
            (figure("p", "q"), figure("q", "x", "p")),
            "`p` is computed from `q`, and `q` is computed from `p`",
        ),
        ((figure("q", "x"), figure("p", "q", "p")), "`p` is computed from `p`"),
    ],
)
def test_a_circle_of_figures_is_named(figures: tuple[Figure, ...], message: str) -> None:
    """Figures that are computed from one another are refused, with the circle."""
    by_id = {each.id: each for each in figures}
    assert message == str(stratify((), by_id))
    with pytest.raises(CircleFound, match=f"^{message}$"):
        compile_rules((), by_id)
