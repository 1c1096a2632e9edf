"""What rests on what, held to a walk of every path."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from diag.logic.rests_on import depending_on, directly_below, resting_on
from diag.model.expression import And, Compare, Is, Known, Not, Ref, UnitRef
from diag.model.rulebook import Fact, Rule, Sign

NAMES = st.sampled_from("abcdef")
GRAPHS = st.dictionaries(NAMES, st.lists(NAMES, max_size=4).map(tuple), max_size=5)


def leaves(name: str, graph: dict[str, tuple[str, ...]], above: frozenset[str]) -> set[str]:
    """Follow every path that does not go round."""
    if name not in graph:
        return {name}
    steps = (one for one in graph[name] if one not in above)
    return set[str]().union(*(leaves(one, graph, above | {one}) for one in steps))


@given(GRAPHS, NAMES)
def test_a_name_rests_on_the_ends_of_all_paths(
    graph: dict[str, tuple[str, ...]], name: str
) -> None:
    """The walk down finds what a walk of each single path finds, also in circles."""
    found = resting_on([name], graph.get)
    assert leaves(name, graph, frozenset({name})) == set(found)
    assert len(set(found)) == len(found)


@given(GRAPHS, NAMES)
def test_up_is_down_turned_round(graph: dict[str, tuple[str, ...]], name: str) -> None:
    """A name depends on another exactly if the other can be reached from it."""

    def reaches(start: str, seen: frozenset[str]) -> bool:
        steps = graph.get(start, ())
        return start == name or any(reaches(s, seen | {s}) for s in steps if s not in seen)

    expected = {one for one in (*graph, name) if reaches(one, frozenset({one}))}
    assert expected == depending_on(name, graph)


def test_what_is_written_below_a_sign() -> None:
    """All that its rules mention counts, the unit's data and a looked-up count among it."""
    dim = Not(And((Is("lamp", ("on",)), Known("switch"))))
    low = Compare("<", Ref("volts"), UnitRef("cut-off"))
    rules = [
        Rule("one", dim, Fact("sign", "light", "dim")),
        Rule("two", low, Fact("sign", "light", "out")),
        Rule("three", Known("volts"), Fact("danger", "h", "")),
    ]
    code = Sign("code", ("none", "short"), "", looked_up="flashes")
    expected = {"light": ("lamp", "switch", "volts", "unit cut-off"), "code": ("flashes",)}
    assert expected == directly_below(rules, {}, {"code": code})
