"""Forward chaining against CLIPS, the C Language Integrated Production System, via clipspy."""

from collections.abc import Mapping

import pytest
from hypothesis import given, settings

from diag.logic.graph import Circle, stratify
from diag.model.expression import And, Compare, Condition, Known, Literal, Not, Or, Ref
from diag.model.quantity import Quantity
from diag.model.rulebook import Rule, Value
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import compile_rules
from tests.reason.chain.rule_sets import NUMBERS, conditions_without_sums, many_readings, rule_sets

clips = pytest.importorskip("clips")


def pattern(condition: Condition, wanted: bool = True) -> str:
    """Write a condition, or its denial, as a CLIPS pattern over (s NAME STATE) and (q NAME SI)."""
    if isinstance(condition, Not):
        return pattern(condition.item, not wanted)
    if isinstance(condition, And | Or):
        word = "and" if isinstance(condition, And) is wanted else "or"
        return f"({word} {' '.join(pattern(item, wanted) for item in condition.items)})"
    if isinstance(condition, Compare):
        assert isinstance(condition.left, Ref)
        assert isinstance(condition.right, Literal)
        op = {"!=": "<>"}.get(condition.op, condition.op)
        test = f"({op} ?v {condition.right.quantity.si})"
        return f"(exists (q {condition.left.name} ?v&:{test if wanted else f'(not {test})'}))"
    relation = "q" if condition.name in NUMBERS else "s"
    known = f"(exists ({relation} {condition.name} ?))"
    if isinstance(condition, Known):
        return known if wanted else f"(not ({relation} {condition.name} ?))"
    states = f"(s {condition.name} {'|'.join(condition.states)})"
    return f"(exists {states})" if wanted else f"(and {known} (not {states}))"


def fixpoint_of_clips(rules: tuple[Rule, ...], told: Mapping[str, Value]) -> set[tuple[str, str]]:
    """Run the rules in CLIPS, lower layers at higher salience; return all (name, state)."""
    layers = stratify(rules, {})
    assert not isinstance(layers, Circle)
    environment = clips.Environment()
    for rule in rules:
        salience = f"(declare (salience {-layers[rule.then.name]}))"
        then = f"(assert (s {rule.then.name} {rule.then.state.replace(' ', '-')}))"
        environment.build(f"(defrule {rule.id} {salience} {pattern(rule.when)} => {then})")
    for name, value in told.items():
        number = isinstance(value, Quantity)
        environment.assert_string(f"(q {name} {value.si})" if number else f"(s {name} {value})")
    environment.run()
    facts = [fact for fact in environment.facts() if fact.template.name == "s"]
    return {(str(fact[0]), str(fact[1])) for fact in facts}


@settings(max_examples=300)
@given(rule_sets(conditions_without_sums, least=8), many_readings)
def test_the_fixpoint_is_that_of_clips(rules: tuple[Rule, ...], told: dict[str, Value]) -> None:
    """300 random stratified rule sets come to the same facts as in CLIPS."""
    chain = Chain(compile_rules(rules))
    chain.tell_all(told)
    facts = {(fact.name, fact.state.replace(" ", "-")) for fact in chain.facts}
    facts |= {(name, value) for name, value in told.items() if isinstance(value, str)}
    assert fixpoint_of_clips(rules, told) == facts
