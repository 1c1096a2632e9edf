"""Which answers would settle a sign: only those that can."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.expression import Compare, Condition, Is, Literal, Or, Ref
from diag.model.quantity import quantity
from diag.model.rulebook import Fact, Rule, Sign, Value
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import compile_rules
from diag.reason.chain.sufficiency import Settler
from tests.reason.chain.rule_sets import (
    CHOICES,
    FIGURES,
    NUMBERS,
    SIGNS,
    STATES,
    UNIT,
    all_rule_sets,
    readings,
)

SIGN = Sign("s0", ("a", "b"), "area")


def settler(condition: Condition, **told: object) -> Settler:
    rules = (Rule("r0", condition, Fact("sign", "s0", "b")),)
    chain = Chain(compile_rules(rules), UNIT)
    chain.tell_all(told)  # type: ignore[arg-type]
    return Settler(chain, rules, {"s0": SIGN})


def test_a_part_of_an_or_that_is_false_settles_nothing() -> None:
    """With one part false already, only the answer of the other part settles the sign."""
    either = Or((Is("c0", ("a",)), Is("c1", ("a",))))
    known = settler(either, c0="b")
    assert not known.settles("s0", frozenset({"c2"}))
    assert known.settles("s0", frozenset({"c1"}))
    assert settler(either).settles("s0", frozenset({"c0"}))


def test_what_a_meter_s_error_leaves_open_no_further_answer_settles() -> None:
    """A reading so near the limit that its error spans it leaves nothing more to ask."""
    above = Compare(">", Ref("n0"), Literal(quantity(5, "V")))
    near = replace(quantity(5, "V"), error=0.1)
    assert settler(above).settles("s0", frozenset({"n0"}))
    assert not settler(above, n0=near).settles("s0", frozenset({"n1", "c0"}))


@settings(max_examples=100, deadline=None)
@given(all_rule_sets, readings, st.frozensets(st.sampled_from((*CHOICES, *NUMBERS)), max_size=5))
def test_all_that_answers_settle_is_what_each_sign_says(
    rules: tuple[Rule, ...], told: dict[str, Value], findings: frozenset[str]
) -> None:
    """The quick look at what waits for the answers finds the signs that asking each one finds."""
    chain = Chain(compile_rules(rules, FIGURES), UNIT)
    chain.tell_all(told)
    signs = {name: Sign(name, STATES, "area") for name in SIGNS}
    settler = Settler(chain, rules, signs)
    one_by_one = tuple(sign for sign in settler.undecided if settler.settles(sign, findings))
    assert settler.settled_by(findings) == one_by_one
