"""The laws of forward chaining, against a slow evaluator."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from diag.logic.evaluate import evaluate
from diag.model.expression import Condition
from diag.model.rulebook import Rule, Value
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import compile_rules
from tests.reason.chain.rule_sets import (
    CHOICES,
    FIGURES,
    NUMBERS,
    SIGNS,
    UNIT,
    Steps,
    all_rule_sets,
    answers,
    conditions,
    growing_conditions,
    readings,
    rule_sets,
    single_heads,
    steps,
)
from tests.reason.chain.slow_chain import SlowChain

NAMES = (*CHOICES, *NUMBERS, *SIGNS, *FIGURES, "unit u0", "unit u1")


def chain_of(rules: tuple[Rule, ...]) -> Chain:
    return Chain(compile_rules(rules, FIGURES), UNIT)


def state_of(chain: Chain) -> dict[str, Any]:
    """All that can be seen of a chain, orders included."""
    return {
        "supports": [(f, [s.rule.id for s in supports]) for f, supports in chain.facts.items()],
        "used": [s.used for supports in chain.facts.values() for s in supports],
        "values": {name: chain.value(name) for name in NAMES},
        "deciders": {name: chain.deciders(name) for name in NAMES},
        "missing": list(chain.missing_by_rule().items()),
        "ends": (chain.dangers, chain.excluded, list(chain.contradictions)),
    }


def slow_state(slow: SlowChain) -> dict[str, Any]:
    """The part of a chain's state that the slow evaluator gives."""
    outcomes = {rule.id: evaluate(rule.when, slow) for rule in slow.rules}
    return {
        "supports": list(slow.firing.items()),
        "values": {name: slow.value(name) for name in NAMES},
        "deciders": {name: slow.deciders(name) for name in NAMES},
        "missing": [
            (rule, outcome.missing)
            for rule, outcome in outcomes.items()
            if outcome.missing and not outcome.truth
        ],
    }


def common(state: dict[str, Any]) -> dict[str, Any]:
    return {key: state[key] for key in ("supports", "values", "deciders", "missing")}


def take(chain: Chain, taken: Steps) -> None:
    for name, value in taken:
        if value is None:
            chain.withdraw(name)
        else:
            chain.tell(name, value)


@settings(max_examples=300)
@given(all_rule_sets, steps)
def test_every_step_ends_where_the_slow_evaluator_does(
    rules: tuple[Rule, ...], taken: Steps
) -> None:
    """After each answer, correction or withdrawal the state is that of a fresh slow run."""
    chain = chain_of(rules)
    told: dict[str, Value] = {}
    for name, value in taken:
        take(chain, [(name, value)])
        told.pop(name, None)
        if value is not None:
            told[name] = value
        assert slow_state(SlowChain(rules, FIGURES, UNIT, told)) == common(state_of(chain))


@settings(max_examples=150)
@given(all_rule_sets, readings.flatmap(lambda told: st.permutations(list(told.items()))))
def test_the_order_of_readings_never_matters(
    rules: tuple[Rule, ...], order: list[tuple[str, Value]]
) -> None:
    """Readings in any order give the same facts, supports, values and open questions."""
    chain, sorted_chain = chain_of(rules), chain_of(rules)
    take(chain, order)
    take(sorted_chain, sorted(order, key=lambda answer: answer[0]))
    assert state_of(sorted_chain) == state_of(chain)


@settings(max_examples=150)
@given(all_rule_sets, readings)
def test_one_at_a_time_equals_all_at_once(rules: tuple[Rule, ...], told: dict[str, Value]) -> None:
    """Telling readings one by one gives what telling them in one step gives."""
    one_by_one, at_once = chain_of(rules), chain_of(rules)
    take(one_by_one, list(told.items()))
    at_once.tell_all(told)
    assert state_of(at_once) == state_of(one_by_one)


@settings(max_examples=150)
@given(all_rule_sets, readings, answers)
def test_correcting_and_restoring_changes_nothing(
    rules: tuple[Rule, ...], told: dict[str, Value], other: tuple[str, Value]
) -> None:
    """An answer corrected and then put back leaves the state as it was."""
    chain = chain_of(rules)
    chain.tell_all(told)
    before = state_of(chain)
    take(chain, [other, (other[0], told.get(other[0]))])
    assert before == state_of(chain)


@settings(max_examples=150)
@given(all_rule_sets, readings, answers)
def test_a_reading_withdrawn_is_as_never_said(
    rules: tuple[Rule, ...], told: dict[str, Value], other: tuple[str, Value]
) -> None:
    """Withdrawing a reading gives the state without it."""
    name, _ = other
    with_it, without = chain_of(rules), chain_of(rules)
    with_it.tell_all({**told, name: other[1]})
    with_it.withdraw(name)
    without.tell_all({each: value for each, value in told.items() if each != name})
    assert state_of(without) == state_of(with_it)


@settings(max_examples=150)
@given(all_rule_sets, readings, answers)
def test_changes_are_what_turned(
    rules: tuple[Rule, ...], told: dict[str, Value], answer: tuple[str, Value]
) -> None:
    """What a step reports as added, removed and recomputed is the difference of the states."""
    chain = chain_of(rules)
    chain.tell_all(told)
    before, figures = set(chain.facts), {name: chain.value(name) for name in FIGURES}
    changes = chain.tell(*answer)
    after = set(chain.facts)
    assert (after - before, before - after) == (set(changes.added), set(changes.removed))
    changed = {name for name, old in figures.items() if old != chain.value(name)}
    assert changed == set(changes.figures)


@settings(max_examples=100)
@given(all_rule_sets, readings, steps)
def test_a_copy_goes_its_own_way(
    rules: tuple[Rule, ...], told: dict[str, Value], taken: Steps
) -> None:
    """What is tried on a copy never shows in the chain, nor the other way round."""
    chain = chain_of(rules)
    chain.tell_all(told)
    before = state_of(chain)
    trial = chain.copy()
    take(trial, taken)
    tried = state_of(trial)
    assert before == state_of(chain)
    take(chain, taken)
    assert tried == state_of(chain)
    assert tried == state_of(trial)


@settings(max_examples=200)
@given(rule_sets(growing_conditions, single_heads), readings, growing_conditions, answers)
def test_no_answer_outside_what_is_missing_changes_a_truth(
    rules: tuple[Rule, ...],
    told: dict[str, Value],
    condition: Condition,
    answer: tuple[str, Value],
) -> None:
    """Where nothing is denied, only the findings named as missing can change a condition."""
    chain = chain_of(rules)
    chain.tell_all(told)
    before = chain.outcome(condition)
    if answer[0] not in {*told, *before.missing}:
        chain.tell(*answer)
        assert before.truth == chain.truth(condition)


@settings(max_examples=150)
@given(all_rule_sets, readings, conditions)
def test_a_condition_asked_apart_stands_as_the_slow_evaluator_says(
    rules: tuple[Rule, ...], told: dict[str, Value], condition: Condition
) -> None:
    """A condition that no rule contains has the truth and the missing answers it should."""
    chain = chain_of(rules)
    chain.tell_all(told)
    expected = evaluate(condition, SlowChain(rules, FIGURES, UNIT, told))
    assert expected == chain.outcome(condition)
    assert expected.truth == chain.truth(condition)
    assert expected.missing == chain.missing_for(condition)
