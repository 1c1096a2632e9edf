"""Forward chaining on worked examples: a textbook's, and one for each thing a chain can say."""

import pytest

from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Is,
    Known,
    Literal,
    Not,
    Or,
    Ref,
    UnitRef,
)
from diag.model.quantity import UNITS, quantity
from diag.model.rulebook import Fact, Figure, Rule, Sign, UnitData
from diag.reason.chain.engine import NO_CHANGES, Chain
from diag.reason.chain.network import compile_rules
from tests.reason.chain.slow_chain import SlowChain


def so(name: str, state: str = "yes") -> Is:
    return Is(name, (state,))


def sign(name: str, state: str = "yes") -> Fact:
    return Fact("sign", name, state)


def horn(body: str, head: str) -> Rule:
    """Write `A,B => L` as a rule."""
    return Rule(f"{body} => {head}", And(tuple(so(name) for name in body.split(","))), sign(head))


def chain(*rules: Rule, figures: tuple[Figure, ...] = (), unit: UnitData | None = None) -> Chain:
    return Chain(compile_rules(rules, {figure.id: figure for figure in figures}), unit)


def supports(chain: Chain) -> dict[str, list[str]]:
    return {str(fact): [support.rule.id for support in kept] for fact, kept in chain.facts.items()}


# Russell and Norvig, "Artificial Intelligence: A Modern Approach", figure 7.15
HORN = (horn("P", "Q"), horn("L,M", "P"), horn("B,L", "M"), horn("A,P", "L"), horn("A,B", "L"))


def test_the_textbook_order_of_derivation() -> None:
    """AIMA figure 7.16: from A and B come L, M, P and Q in this order, and L only once."""
    agenda = chain(*HORN)
    assert NO_CHANGES == agenda.tell("A", "yes")
    assert tuple(map(sign, "LMPQ")) == agenda.tell("B", "yes").added


def test_the_textbook_supports() -> None:
    """AIMA figure 7.15: L has two supports in the end, all others one, in rule order."""
    agenda = chain(*HORN)
    agenda.tell_all({"A": "yes", "B": "yes"})
    expected = {
        "Q is yes": ["P => Q"],
        "P is yes": ["L,M => P"],
        "M is yes": ["B,L => M"],
        "L is yes": ["A,P => L", "A,B => L"],
    }
    assert expected == supports(agenda)


def test_the_textbook_from_one_fact_alone() -> None:
    """AIMA figure 7.15: A alone derives nothing, and B is what is still to be asked."""
    agenda = chain(*HORN)
    agenda.tell("A", "yes")
    assert {} == agenda.facts
    assert frozenset({"B"}) == agenda.deciders("Q")


def test_the_textbook_circle_does_not_hold_itself_up() -> None:
    """AIMA figure 7.15: with B taken back, L, M and P no longer hold each other up."""
    agenda = chain(*HORN)
    agenda.tell_all({"A": "yes", "B": "yes"})
    assert set(map(sign, "LMPQ")) == set(agenda.withdraw("B").removed)
    assert {} == agenda.facts


# Russell and Norvig, section 9.3, with its variables written out by hand
CRIME = (
    horn("American(West),Weapon(M1),Sells(West;M1;Nono),Hostile(Nono)", "Criminal(West)"),
    horn("Missile(M1),Owns(Nono;M1)", "Sells(West;M1;Nono)"),
    horn("Missile(M1)", "Weapon(M1)"),
    horn("Enemy(Nono;America)", "Hostile(Nono)"),
)
CRIME_FACTS = ("Owns(Nono;M1)", "Missile(M1)", "American(West)", "Enemy(Nono;America)")


def test_the_textbook_crime() -> None:
    """AIMA section 9.3: four facts become eight, the crime last, in two rounds and no third."""
    told = dict.fromkeys(CRIME_FACTS, "yes")
    added = chain(*CRIME).tell_all(told).added
    rounds = SlowChain(CRIME, {}, UnitData("", "", {}), told).rounds
    assert 8 == len(told) + len(added)
    assert sign("Criminal(West)") == added[-1]
    assert [3, 1] == [len(each) for each in rounds]
    assert set(added) == set().union(*rounds)


def test_a_circle_with_two_footholds_stands_on_either() -> None:
    """A circle that loses one of two supports is derived anew from the other."""
    rules = (horn("A", "L"), horn("B", "L"), horn("L", "M"), horn("M", "P"), horn("P,C", "L"))
    agenda = chain(*rules)
    agenda.tell_all({"A": "yes", "B": "yes"})
    assert NO_CHANGES == agenda.withdraw("B")
    assert ["A => L"] == supports(agenda)["L is yes"]
    assert 3 == len(agenda.withdraw("A").removed)


def test_a_state_does_not_hold_itself_up_through_a_choice_of_states() -> None:
    """A state that rests on `one of` two falls with the other, though it is one of them itself."""
    agenda = chain(
        Rule("untold", Not(Known("x")), sign("s", "low")),
        Rule("either", Is("s", ("low", "high")), sign("s", "high")),
    )
    assert frozenset({"low", "high"}) == agenda.states("s")
    agenda.tell("x", "yes")
    assert frozenset() == agenda.states("s")
    agenda.withdraw("x")
    assert frozenset({"low", "high"}) == agenda.states("s")


def test_a_state_does_not_hold_itself_up_beside_an_answer() -> None:
    """A condition that an answer or the state itself makes true falls with the answer."""
    told_or_so = Not(Not(Or((so("s", "on"), Known("x")))))
    agenda = chain(Rule("either", told_or_so, sign("s", "on")))
    agenda.tell("x", "yes")
    assert frozenset({"on"}) == agenda.states("s")
    agenda.withdraw("x")
    assert frozenset() == agenda.states("s")


def test_not_known_holds_until_there_is_an_answer() -> None:
    """`not known(x)` is true from the start and gives way to any answer."""
    agenda = chain(Rule("r", Not(Known("x")), sign("unasked")), horn("x", "asked"))
    assert {"unasked is yes": ["r"]} == supports(agenda)
    changes = agenda.tell("x", "yes")
    assert ((sign("asked"),), (sign("unasked"),)) == (changes.added, changes.removed)


def test_rules_that_contradict_are_both_heard() -> None:
    """A sign that gets two states has both, and is listed as a contradiction."""
    agenda = chain(
        Rule("one", so("x", "a"), sign("s", "low")), Rule("two", so("y", "b"), sign("s", "high"))
    )
    agenda.tell_all({"x": "a", "y": "b"})
    assert frozenset({"low", "high"}) == agenda.states("s")
    assert {"s": frozenset({"low", "high"})} == agenda.contradictions
    agenda.tell("x", "c")
    assert {} == agenda.contradictions


def test_dangers_and_excluded_causes_are_kept_apart_from_signs() -> None:
    """A danger, an excluded cause and a sign of one name do not touch one another."""
    rules = (
        Rule("h", so("x"), Fact("danger", "leak", "present")),
        Rule("e", Not(so("leak")), Fact("excluded", "leak", "ruled out")),
        Rule("s", so("y"), sign("leak", "no")),
    )
    agenda = chain(*rules)
    agenda.tell("x", "yes")
    assert (("leak",), (), frozenset()) == (agenda.dangers, agenda.excluded, agenda.states("leak"))
    agenda.tell("y", "yes")
    assert (("leak",), ("leak",)) == (agenda.dangers, agenda.excluded)


def test_a_finding_that_is_evidence_has_its_answer_as_state() -> None:
    """A choice finding has the state that was told, and no rule may conclude another."""
    agenda = Chain(
        compile_rules([horn("x", "s")], {}, {"x": Sign("x", ("no", "yes"), "", is_finding=True)})
    )
    agenda.tell("x", "no")
    assert frozenset({"no"}) == agenda.states("x")
    with pytest.raises(ValueError, match=r"^rule `s => x` concludes `x`, which is asked or comp"):
        compile_rules([horn("s", "x")], {}, {"x": Sign("x", ("no", "yes"), "", is_finding=True)})


def test_what_follows_cannot_be_told() -> None:
    """A sign that rules conclude is refused as an answer, and nothing of the step is taken."""
    agenda = chain(horn("x", "s"))
    with pytest.raises(ValueError, match=r"^`s` follows from the rules: it cannot be told$"):
        agenda.tell_all({"x": "yes", "s": "yes"})
    assert {} == dict(agenda.told)
    assert {} == agenda.facts


SPREAD = Figure("spread", UNITS["V"], (Arithmetic("-", Ref("u"), Ref("v")),))
SHARE = Figure("share", UNITS["%"], (Arithmetic("/", Ref("spread"), Ref("v")),))
LIMIT = Compare(">=", Ref("share"), UnitRef("limit"))
BENCH = UnitData("U-01", "an invented unit", {"limit": quantity(10, "%")})


def test_figures_follow_their_readings() -> None:
    """A figure of figures is worked out when its last reading is told, and lost with it."""
    agenda = chain(Rule("r", LIMIT, sign("wide")), figures=(SHARE, SPREAD), unit=BENCH)
    agenda.tell("u", quantity(12, "V"))
    assert frozenset({"v"}) == agenda.deciders("wide")
    changes = agenda.tell("v", quantity(10, "V"))
    assert (("spread", "share"), (sign("wide"),)) == (changes.figures, changes.added)
    assert "20 %" == str(agenda.value("share"))
    assert (sign("wide"),) == agenda.tell("u", quantity(10.5, "V")).removed
    assert ("spread", "share") == agenda.withdraw("v").figures


def test_a_figure_without_a_result_is_not_known_and_says_why() -> None:
    """A division by zero leaves figure and rule unknown, with nothing to ask and a reason."""
    agenda = chain(Rule("r", LIMIT, sign("wide")), figures=(SHARE, SPREAD), unit=BENCH)
    agenda.tell_all({"u": quantity(12, "V"), "v": quantity(0, "V")})
    outcome = agenda.outcome(LIMIT)
    assert (None, frozenset()) == (outcome.truth, outcome.missing)
    assert "these readings divide by zero" == outcome.reason == agenda.trouble("share")
    assert "" == agenda.trouble("spread")


def test_a_datum_that_the_unit_lacks_is_named_as_missing() -> None:
    """Unit data go by `unit NAME`, can be missing, and can be told."""
    agenda = chain(Rule("r", LIMIT, sign("wide")), figures=(SHARE, SPREAD))
    agenda.tell_all({"u": quantity(12, "V"), "v": quantity(10, "V")})
    assert {"r": frozenset({"unit limit"})} == agenda.missing_by_rule()
    agenda.tell("unit limit", quantity(0.1, "1"))
    assert {"wide is yes": ["r"]} == supports(agenda)


def test_a_support_names_only_what_it_stands_on() -> None:
    """Of an `or`, a support keeps the part that holds, with the values used."""
    either = Or((so("x"), Compare(">", Ref("u"), Literal(quantity(11, "V"))), so("z")))
    agenda = chain(Rule("r", And((either, so("k"))), sign("s")))
    agenda.tell_all({"x": "no", "u": quantity(12, "V"), "k": "yes"})
    (support,) = agenda.supports(sign("s"))
    assert {"u": quantity(12, "V"), "k": frozenset({"yes"})} == support.used
    assert () == agenda.supports(sign("unheard of"))


def test_answers_that_no_rule_mentions_are_kept() -> None:
    """A finding outside the rules is known once told, and unknown once withdrawn."""
    agenda = chain(horn("x", "s"))
    assert frozenset({"far off"}) == agenda.missing_for(so("far off"))
    agenda.tell("far off", "yes")
    assert agenda.truth(so("far off")) is True
    agenda.withdraw("far off")
    assert agenda.truth(so("far off")) is None


def test_a_deep_rule_set_is_settled() -> None:
    """Ten thousand rules in one long row do not exhaust the stack."""
    rules = tuple(horn(f"s{n}", f"s{n + 1}") for n in range(10_000))
    agenda = chain(*rules)
    assert frozenset({"s0"}) == agenda.deciders("s10000")
    assert 10_000 == len(agenda.tell("s0", "yes").added)
