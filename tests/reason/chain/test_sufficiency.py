"""Which answers would settle a sign: only those that can."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.expression import And, Compare, Condition, Is, Literal, Not, Or, Ref, names_in
from diag.model.quantity import quantity
from diag.model.rulebook import Fact, Figure, Rule, Sign, Value
from diag.reason.chain.engine import Chain
from diag.reason.chain.network import compile_rules
from diag.reason.chain.sufficiency import SufficientSets
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


def sufficient(condition: Condition, **told: object) -> SufficientSets:
    rules = (Rule("r0", condition, Fact("sign", "s0", "b")),)
    chain = Chain(compile_rules(rules), UNIT)
    chain.tell_all(told)  # type: ignore[arg-type]
    return SufficientSets(chain, rules, {"s0": SIGN})


def test_a_part_of_an_or_that_is_false_settles_nothing() -> None:
    """With one part false already, only the answer of the other part settles the sign."""
    either = Or((Is("c0", ("a",)), Is("c1", ("a",))))
    known = sufficient(either, c0="b")
    assert not known.settles("s0", frozenset({"c2"}))
    assert known.settles("s0", frozenset({"c1"}))
    assert sufficient(either).settles("s0", frozenset({"c0"}))


def test_what_a_meter_s_error_leaves_open_no_further_answer_settles() -> None:
    """A reading so near the limit that its error spans it leaves nothing more to ask."""
    above = Compare(">", Ref("n0"), Literal(quantity(5, "V")))
    near = replace(quantity(5, "V"), error=0.1)
    assert sufficient(above).settles("s0", frozenset({"n0"}))
    assert not sufficient(above, n0=near).settles("s0", frozenset({"n1", "c0"}))


@settings(max_examples=100)
@given(all_rule_sets, readings, st.frozensets(st.sampled_from((*CHOICES, *NUMBERS)), max_size=5))
def test_all_that_answers_settle_is_what_each_sign_says(
    rules: tuple[Rule, ...], told: dict[str, Value], findings: frozenset[str]
) -> None:
    """The quick look at what waits for the answers finds the signs that asking each one finds."""
    chain = Chain(compile_rules(rules, FIGURES), UNIT)
    chain.tell_all(told)
    signs = {name: Sign(name, STATES, "area") for name in SIGNS}
    sets = SufficientSets(chain, rules, signs)
    one_by_one = [sign for sign in sets.undecided if sets.settles(sign, findings)]
    settled = sets.settled_by(findings)
    assert one_by_one == list(settled)
    assert all(need <= findings and sets.settles(sign, need) for sign, need in settled.items())


def closure(chain: Chain, rules: tuple[Rule, ...], findings: frozenset[str]) -> set[str]:
    """Return the signs that answers settle, by going over all open rules until nothing is new."""
    known = {*findings}
    open_rules = [rule for rule in rules if chain.truth(rule.when) is None]

    def has(name: str) -> bool:
        return chain.value(name) is not None or name in known

    def settled(condition: Condition) -> bool:
        if chain.truth(condition) is not None:
            return True
        if isinstance(condition, And):
            return all(settled(part) for part in condition.items)
        if isinstance(condition, Or):
            return any(settled(part) for part in condition.items if chain.truth(part) is None)
        if isinstance(condition, Not):
            return settled(condition.item)
        if isinstance(condition, Compare):
            names = names_in(condition)
            return all(map(has, names)) and not all(chain.value(n) is not None for n in names)
        return not isinstance(condition, Is) or has(condition.name)

    def works(figure: Figure) -> bool:
        """A sum of numbers that are known and has no result will not have one either."""
        names = names_in(*figure.terms)
        return all(map(has, names)) and any(chain.value(name) is None for name in names)

    again = True
    while again:
        more = {name for name, one in FIGURES.items() if works(one)}
        more |= {rule.then.name for rule in open_rules if settled(rule.when)}
        again = not more <= known
        known |= more
    return known & {rule.then.name for rule in rules if rule.then.kind == "sign"}


@settings(max_examples=200)
@given(
    all_rule_sets,
    readings,
    st.frozensets(st.sampled_from((*CHOICES, *NUMBERS)), max_size=6),
    st.permutations(SIGNS),
)
def test_what_settles_a_sign_hangs_on_no_order(
    rules: tuple[Rule, ...],
    told: dict[str, Value],
    findings: frozenset[str],
    order: list[str],
) -> None:
    """In circles too, whichever sign is asked for first, all that follows in rounds is settled."""
    chain = Chain(compile_rules(rules, FIGURES), UNIT)
    chain.tell_all(told)
    sets = SufficientSets(chain, rules, {name: Sign(name, STATES, "area") for name in SIGNS})
    open_signs = {name for name in order if chain.value(name) is None}
    expected = closure(chain, rules, findings) & open_signs
    assert expected == {name for name in order if sets.settles(name, findings)} & open_signs


def test_what_is_left_out_for_its_size_is_told() -> None:
    """A sign that waits for more findings than are kept count for is named."""
    nine = And(tuple(Is(f"c{number}", ("a",)) for number in range(9)))
    assert frozenset({"s0"}) == sufficient(nine).cut
    assert frozenset() == sufficient(And(nine.items[:8])).cut
