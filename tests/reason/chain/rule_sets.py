"""Random rule sets that can be settled layer by layer, with readings to try on them."""

from collections.abc import Sequence

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from diag.logic.graph import Circle, stratify
from diag.model.expression import (
    And,
    Arithmetic,
    Compare,
    Condition,
    Formula,
    Is,
    Known,
    Literal,
    Not,
    Or,
    Ref,
    Term,
    UnitRef,
)
from diag.model.quantity import UNITS, quantity
from diag.model.rulebook import Fact, Figure, Rule, UnitData, Value

STATES = ("a", "b", "c")
CHOICES = ("c0", "c1", "c2", "c3")
NUMBERS = ("n0", "n1", "n2")
SIGNS = ("s0", "s1", "s2", "s3", "s4")
OPS = ("<", "<=", ">", ">=", "=", "!=")


def root(volts: float) -> float:
    """Return a square root; refuse what has none."""
    if volts < 0:
        raise ValueError("`volts` is below zero: no root")
    return float(volts**0.5)


ROOT = Formula("root", (("volts", "V"),), "V", root, "arithmetic", "The root of a number.")
FIGURES = {
    figure.id: figure
    for figure in (
        Figure("g0", UNITS["V"], (Arithmetic("-", Ref("n0"), Ref("n1")),)),
        Figure("g1", UNITS["1"], (Arithmetic("/", Ref("n1"), Ref("n2")),)),
        Figure("g2", UNITS["mV"], (Ref("g0"),), ROOT),
        Figure("g3", UNITS["V"], (Arithmetic("+", Ref("g2"), UnitRef("u0")),)),
    )
}
UNIT = UnitData("U-01", "a unit", {"u0": quantity(1, "V"), "u2": quantity(2, "V")})

volts = st.integers(-1, 2).map(lambda n: quantity(n, "V"))
terms: SearchStrategy[Term] = st.recursive(
    st.one_of(
        volts.map(Literal),
        st.sampled_from((*NUMBERS, "g0", "g2", "g3")).map(Ref),
        st.sampled_from(("u0", "u1", "u2")).map(UnitRef),
    ),
    lambda parts: st.builds(Arithmetic, st.sampled_from("+-"), parts, parts),
    max_leaves=3,
)
comparisons = st.builds(Compare, st.sampled_from(OPS), terms, terms)
plain_comparisons = st.builds(
    Compare, st.sampled_from(OPS), st.sampled_from(NUMBERS).map(Ref), volts.map(Literal)
)
states = st.lists(st.sampled_from(STATES), min_size=1, max_size=2, unique=True).map(tuple)
named_states = st.builds(Is, st.sampled_from((*CHOICES, *SIGNS)), states)
knowns = st.sampled_from((*CHOICES, *NUMBERS, *SIGNS)).map(Known)
figures_known = st.sampled_from(tuple(FIGURES)).map(Known)


def joined(leaves: SearchStrategy[Condition], denials: bool = True) -> SearchStrategy[Condition]:
    """Join leaves by `and`, `or` and, where wanted, `not`."""

    def wider(parts: SearchStrategy[Condition]) -> SearchStrategy[Condition]:
        several = st.lists(parts, min_size=1, max_size=3).map(tuple)
        forms = [several.map(And), several.map(And), several.map(Or)]
        return st.one_of(*forms, *([parts.map(Not)] if denials else []))

    return st.recursive(leaves, wider, max_leaves=5)


conditions = joined(
    st.one_of(named_states, named_states, named_states, comparisons, knowns, figures_known)
)
conditions_without_sums = joined(st.one_of(named_states, named_states, plain_comparisons, knowns))
growing_conditions = joined(st.one_of(named_states, comparisons, knowns), denials=False)

short_conditions = st.one_of(
    st.sampled_from(("c0", "c1")).map(lambda name: Is(name, ("a",))),
    st.lists(st.sampled_from((*SIGNS, *SIGNS, "c0")), min_size=1, max_size=2, unique=True).map(
        lambda names: And(tuple(Is(name, ("a",)) for name in names))
    ),
)
"""Rules of these often rest on one another in circles."""

heads = st.one_of(
    st.builds(Fact, st.just("sign"), st.sampled_from(SIGNS), st.sampled_from(STATES)),
    st.builds(Fact, st.just("sign"), st.sampled_from(SIGNS), st.sampled_from(STATES)),
    st.sampled_from((Fact("danger", "h", "present"), Fact("excluded", "x", "ruled out"))),
)
single_heads = st.sampled_from(SIGNS).map(lambda name: Fact("sign", name, "a"))


@st.composite
def rule_sets(
    draw: DrawFn,
    when: SearchStrategy[Condition] = conditions,
    then: SearchStrategy[Fact] = heads,
    least: int = 1,
) -> tuple[Rule, ...]:
    """Draw rules, leaving out each that would close a circle through `not`."""
    drawn = draw(st.lists(st.tuples(when, then), min_size=least, max_size=14))
    kept: list[Rule] = []
    for number, (condition, fact) in enumerate(drawn):
        rule = Rule(f"r{number}", condition, fact)
        if not isinstance(stratify([*kept, rule], FIGURES), Circle):
            kept.append(rule)
    return tuple(kept)


all_rule_sets = st.one_of(rule_sets(), rule_sets(short_conditions, single_heads))

answers: SearchStrategy[tuple[str, Value]] = st.one_of(
    st.tuples(st.sampled_from(CHOICES), st.sampled_from(STATES)),
    st.tuples(st.sampled_from(NUMBERS), volts),
)
readings: SearchStrategy[dict[str, Value]] = st.lists(answers, max_size=7).map(dict)
many_readings: SearchStrategy[dict[str, Value]] = st.fixed_dictionaries(
    {name: st.sampled_from(STATES) for name in CHOICES} | dict.fromkeys(NUMBERS[:2], volts),
    optional={NUMBERS[2]: volts},
)
Steps = Sequence[tuple[str, Value | None]]
steps: SearchStrategy[Steps] = st.lists(
    st.one_of(answers, answers, st.tuples(st.sampled_from((*CHOICES, *NUMBERS)), st.none())),
    max_size=10,
)
"""Tell, correct (tell again) and, with None, withdraw."""
