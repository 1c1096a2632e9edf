"""Why a thing holds: the tree below it names the rules, the sums and the readings it rests on."""

from __future__ import annotations

from collections.abc import Iterator
from math import log10
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.model.quantity import UNITS, Quantity, quantity
from diag.model.rulebook import Finding, Rulebook, Value
from diag.rulebook import load_rulebook
from diag.session.derivation import Derivation, derivations
from diag.session.journal.events import Answered, Repaired
from diag.session.state import SessionState

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"


@pytest.fixture(scope="module")
def bicycle() -> Rulebook:
    return load_rulebook([BICYCLE], {})


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return load_book()


def derivation(state: SessionState, name: str, kind: str = "") -> Derivation:
    """Return the one derivation of a name, or the one of that kind."""
    (found,) = [one for one in derivations(state, name) if kind in ("", one.kind)]
    return found


def overnight(book: Rulebook) -> SessionState:
    """Return a session with both gauge readings taken."""
    state = SessionState(book, book.units["town bicycle"], "goes flat")
    for finding, bar in (("pressure in the evening", 4.0), ("pressure in the morning", 2.5)):
        state.apply(Answered(finding, quantity(bar, "bar"), "measured"))
    return state


def nodes(node: Derivation) -> Iterator[Derivation]:
    yield node
    for ground in node.grounds:
        for below in ground.rests_on:
            yield from nodes(below)


def test_a_sign_rests_on_its_rule_its_sum_and_its_readings(bicycle: Rulebook) -> None:
    """From the sign down: the rule's reason, the sum with its numbers, each reading and its how."""
    node = derivation(overnight(bicycle), "Overnight-Loss")
    assert ("overnight loss", "sign", "much") == (node.name, node.kind, node.value)
    (rule,) = node.grounds
    assert "a sound tube holds it for days" == rule.why
    assert "invented" == rule.source
    (loss,) = rule.rests_on
    assert ("loss", "figure", "1.5 bar") == (loss.name, loss.kind, loss.value)
    (summed,) = loss.grounds
    assert "pressure in the evening - pressure in the morning = 4 bar - 2.5 bar" == summed.sum
    readings = [(one.name, one.value, one.how) for one in summed.rests_on]
    assert [
        ("pressure in the evening", "4 bar", "measured"),
        ("pressure in the morning", "2.5 bar", "measured"),
    ] == readings


def test_a_cause_rests_on_weights_that_come_to_its_odds(bicycle: Rulebook) -> None:
    """The decibans of its reasons sum to 10 log10 of its odds against nothing wrong (Good 1950)."""
    state = overnight(bicycle)
    node = derivation(state, "leaky valve")
    total = sum(one.decibans or 0.0 for one in node.grounds)
    both = state.posterior.pairs["leaky valve", "thorn in the tyre"]
    alone = state.posterior.causes["leaky valve"] - both
    assert total == pytest.approx(10 * log10(alone / state.posterior.nothing), abs=1e-9)
    assert {"overnight loss", "loss", "pressure in the morning"} <= {
        one.name for one in nodes(node)
    }


def test_a_danger_rests_on_what_raised_it(bicycle: Rulebook) -> None:
    """What raises a danger is a rule with its readings; until then it is not present."""
    state = SessionState(bicycle, bicycle.units["town bicycle"], "goes flat")
    assert () == derivation(state, "no brakes").grounds
    state.apply(Answered("brake gone", "yes", "seen"))
    node = derivation(state, "no brakes")
    assert "holds" == node.value
    assert ["it cannot be stopped"] == [one.why for one in node.grounds]
    assert ["brake gone"] == [one.name for one in node.grounds[0].rests_on]


def test_what_is_not_known_says_what_it_awaits(bicycle: Rulebook) -> None:
    """A sign or figure without a value names the findings that could give it one."""
    state = SessionState(bicycle, bicycle.units["town bicycle"], "goes flat")
    both = ("pressure in the evening", "pressure in the morning")
    assert both == derivation(state, "overnight loss").awaits
    state.apply(Answered(both[0], quantity(4, "bar"), "measured"))
    assert both[1:] == derivation(state, "loss").awaits
    assert "" == derivation(state, "loss").value


def test_a_reading_taken_before_a_repair_says_so(bicycle: Rulebook) -> None:
    """It speaks of the unit as it was then."""
    state = overnight(bicycle)
    state.apply(Repaired("leaky valve"))
    assert "measured, before a repair" == derivation(state, "pressure in the evening").how


def test_a_name_of_two_kinds_is_told_as_both(shipped: Rulebook) -> None:
    """A danger and the finding that raises it may share a name: both are told."""
    state = SessionState(shipped, shipped.units["LIB-03"], "will not start")
    state.apply(Answered("fuel leak", "yes", "seen"))
    said = [(one.kind, one.value) for one in derivations(state, "fuel leak")]
    assert [("danger", "holds"), ("reading", "yes")] == said


def test_an_unknown_name_is_refused_with_its_neighbours(bicycle: Rulebook) -> None:
    """The sentence offers what is near."""
    with pytest.raises(ValueError, match="no `overnite loss`; near it are `overnight loss`"):
        derivation(overnight(bicycle), "overnite loss")


def answers(finding: Finding) -> st.SearchStrategy[Value]:
    if finding.states:
        return st.sampled_from(finding.states)
    low, high = finding.believable or (Quantity(0.0, UNITS["1"]), Quantity(9.0, UNITS["1"]))
    unit = finding.unit or UNITS["1"]
    steps = st.integers(0, 8)
    if finding.kind == "count":
        return steps.map(lambda n: Quantity(float(n), unit))
    return steps.map(lambda n: Quantity(low.si + (high.si - low.si) * n / 8, unit))


@settings(max_examples=25)
@given(st.data())
def test_the_leaves_are_the_readings_that_a_conclusion_rests_on(
    shipped: Rulebook, data: st.DataObject
) -> None:
    """For every sign concluded from any answers, the tree ends in just the readings below it."""
    state = SessionState(shipped, shipped.units["LIB-03"], "will not start")
    chosen = data.draw(st.lists(st.sampled_from(list(shipped.findings)), max_size=40, unique=True))
    for name in chosen:
        finding = shipped.findings[name]
        state.apply(Answered(name, data.draw(answers(finding)), finding.how))
    for sign in shipped.signs:
        states = state.chain.states(sign)
        if states and not shipped.signs[sign].is_finding:
            found = {
                one.name for one in nodes(derivation(state, sign, "sign")) if one.kind == "reading"
            }
            under = [names for each in states for names in state.grounds_of(sign, each)]
            assert frozenset().union(*under) == found
    for cause in shipped.causes:
        assert derivation(state, cause, "cause").value
