"""Conditions in three values, and sums with their units and errors."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from diag.logic.compiled import compiled
from diag.logic.evaluate import Outcome, evaluate, grounds
from diag.logic.figure import Held, value_of, work_out
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
from diag.model.rulebook import Figure

TRUTHS = (True, False, None)


@dataclass
class Bench:
    """A view of some known values; every unknown name decides itself, figures their inputs."""

    known: Mapping[str, Held] = field(default_factory=dict)
    figures: Mapping[str, Figure] = field(default_factory=dict)

    def value(self, name: str) -> Held | None:
        return self.known.get(name)

    def figure(self, name: str) -> Figure | None:
        return self.figures.get(name)

    def deciders(self, name: str) -> frozenset[str]:
        return frozenset((name,))


def yes(name: str) -> Is:
    return Is(name, ("yes",))


def given_truths(*truths: bool | None) -> tuple[Bench, tuple[Is, ...]]:
    """Make conditions x0, x1, ... of the given truths."""
    words = {True: "yes", False: "no"}
    known = {
        f"x{n}": frozenset((words[truth],)) for n, truth in enumerate(truths) if truth is not None
    }
    return Bench(known), tuple(yes(f"x{n}") for n in range(len(truths)))


@pytest.mark.parametrize("truths", list(product(TRUTHS, repeat=2)))
def test_and_or_not_follow_kleene(truths: tuple[bool | None, bool | None]) -> None:
    """`and` is the least, `or` the greatest of false < unknown < true, `not` turns them round.

    Kleene, "Introduction to Metamathematics" (1952), section 64, the strong tables.
    """
    rank: dict[bool | None, int] = {False: 0, None: 1, True: 2}
    bench, items = given_truths(*truths)
    assert min(truths, key=rank.__getitem__) is evaluate(And(items), bench).truth
    assert max(truths, key=rank.__getitem__) is evaluate(Or(items), bench).truth
    assert 2 - rank[truths[0]] == rank[evaluate(Not(items[0]), bench).truth]


def test_known_is_false_until_then() -> None:
    """`known(x)` is never unknown, and tells which answer would turn it."""
    told = Bench({"x": frozenset({"no"})})
    assert (True, frozenset()) == standing(evaluate(Known("x"), told))
    assert (False, frozenset({"x"})) == standing(evaluate(Known("x"), Bench()))
    assert (True, frozenset({"x"})) == standing(evaluate(Not(Known("x")), Bench()))


def standing(outcome: Outcome) -> tuple[bool | None, frozenset[str]]:
    return outcome.truth, outcome.missing


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        (And((yes("a"), yes("b"))), (None, {"a", "b"})),
        (And((yes("t"), yes("b"))), (None, {"b"})),
        (And((yes("f"), yes("b"))), (False, set())),
        (Or((yes("t"), yes("b"))), (True, set())),
        (Or((yes("f"), yes("b"))), (None, {"b"})),
        (Not(And((yes("f"), yes("b")))), (True, set())),
        (And((Known("a"), yes("b"))), (False, {"a", "b"})),
        (Or((Not(Known("a")), yes("b"))), (True, {"a", "b"})),
        (Or((Not(Known("a")), yes("t"))), (True, set())),
        (And((Known("a"), yes("f"))), (False, set())),
        (Compare("<", Ref("a"), UnitRef("limit")), (None, {"a", "unit limit"})),
        (Compare("<", Ref("n"), UnitRef("limit")), (None, {"unit limit"})),
    ],
)
def test_missing_is_what_could_still_change_the_truth(
    condition: Condition, expected: tuple[bool | None, set[str]]
) -> None:
    """Only answers that could still change the outcome are missing; once settled, none are."""
    known: dict[str, Held] = {
        "t": frozenset({"yes"}),
        "f": frozenset({"no"}),
        "n": quantity(3, "V"),
    }
    assert expected == standing(evaluate(condition, Bench(known)))


@pytest.mark.parametrize(
    ("op", "below", "at", "above"),
    [
        ("<", True, False, False),
        ("<=", True, True, False),
        (">", False, False, True),
        (">=", False, True, True),
        ("=", False, True, False),
        ("!=", True, False, True),
    ],
)
def test_comparisons_at_their_limit(op: str, below: bool, at: bool, above: bool) -> None:
    """Each comparison is exact below, at and above its limit, whatever units are written."""
    limit = Literal(quantity(10.5, "V"))
    volts = (quantity(10.49, "V"), quantity(10500, "mV"), quantity(10.51, "V"))
    found = tuple(
        evaluate(Compare(op, Ref("u"), limit), Bench({"u": each})).truth for each in volts
    )
    assert (below, at, above) == found


def test_a_conversion_does_not_cross_a_limit() -> None:
    """64.4 F is 18 C exactly (defined conversion), neither above nor below."""
    bench = Bench({"t": quantity(64.4, "F")})
    assert evaluate(Compare("=", Ref("t"), Literal(quantity(18, "C"))), bench).truth is True


def test_one_of_several_states() -> None:
    """`is one of` is true for any of its states, and a sign with two states has both."""
    bench = Bench({"s": frozenset({"low", "high"})})
    assert evaluate(Is("s", ("dead", "low")), bench).truth is True
    assert evaluate(Is("s", ("dead", "fair")), bench).truth is False


def arithmetic(left: Term, op: str, right: Term) -> Arithmetic:
    return Arithmetic(op, left, right)


@pytest.mark.parametrize(
    ("term", "expected"),
    [
        (arithmetic(Ref("hot"), "-", Ref("cold")), "50 K"),
        (arithmetic(Ref("hot"), "-", Literal(quantity(5, "K"))), "65 C"),
        (arithmetic(Literal(quantity(5, "K")), "+", Ref("cold")), "25 C"),
        (arithmetic(Ref("u"), "*", Ref("i")), "120 W"),
        (arithmetic(Ref("u"), "/", Ref("i")), "1.2 ohm"),
        (arithmetic(Ref("u"), "*", Literal(quantity(50, "%"))), "6 V"),
        (arithmetic(Literal(quantity(2, "1")), "*", Ref("u")), "24 V"),
        (arithmetic(Ref("u"), "+", Literal(quantity(500, "mV"))), "12.5 V"),
        (arithmetic(Literal(quantity(1, "1")), "/", Literal(quantity(4, "s"))), "0.25 Hz"),
        (arithmetic(Ref("u"), "*", Ref("u")), "144 SI"),
        (UnitRef("limit"), "11 V"),
        (Ref("nobody"), "None"),
    ],
)
def test_sums_carry_their_units(term: Term, expected: str) -> None:
    """A sum is read in the unit that people would use for it; two temperatures differ in K."""
    known: dict[str, Held] = {
        "hot": quantity(70, "C"),
        "cold": quantity(20, "C"),
        "u": quantity(12, "V"),
        "i": quantity(10, "A"),
        "unit limit": quantity(11, "V"),
    }
    assert expected == str(value_of(term, Bench(known)))


errors = st.floats(0.001, 0.5)


@given(
    st.tuples(st.floats(8, 16), st.floats(8, 16), st.floats(1, 20)),
    st.tuples(errors, errors, errors),
)
def test_errors_carry_as_in_uncertainties(
    values: tuple[float, float, float], spread: tuple[float, float, float]
) -> None:
    """(rest - load) / amps * load has the first-order error that `uncertainties` gives.

    The reading `load` enters twice and counts as one. PyPI package `uncertainties`, linear
    error propagation.
    """
    a, b, c = (ufloat(value, error) for value, error in zip(values, spread, strict=True))
    peer = (a - b) / c * b
    known: dict[str, Held] = {
        name: quantity(value, unit, error)
        for name, unit, value, error in zip("abc", "VVA", values, spread, strict=True)
    }
    drop = arithmetic(Ref("a"), "-", Ref("b"))
    term = arithmetic(arithmetic(drop, "/", Ref("c")), "*", Ref("b"))
    result = work_out(term, Bench(known))
    assert result is not None
    assert pytest.approx(peer.nominal_value, rel=1e-9, abs=1e-9) == result.si
    assert pytest.approx(peer.std_dev, rel=1e-5) == result.error


def test_a_reading_shared_by_two_figures_counts_as_one() -> None:
    """The error of a - (a - b) is that of b alone, though figures stand in between."""
    difference = Figure("d", UNITS["V"], (arithmetic(Ref("a"), "-", Ref("b")),))
    bench = Bench(
        {"a": quantity(12, "V", 0.3), "b": quantity(10, "V", 0.1), "d": quantity(2, "V", 0.316)},
        {"d": difference},
    )
    result = work_out(arithmetic(Ref("a"), "-", Ref("d")), bench)
    assert result is not None
    assert (pytest.approx(10), pytest.approx(0.1)) == (result.si, result.error)


def refuse(volts: float) -> float:
    raise ValueError(f"`volts` is {volts:g} V: expected more")


REFUSED = Figure(
    "f", UNITS["V"], (Ref("u"),), Formula("refused", (("volts", "V"),), "V", refuse, "", "")
)


@pytest.mark.parametrize(
    ("term", "reason"),
    [
        (arithmetic(Ref("u"), "/", Ref("zero")), "these readings divide by zero"),
        (arithmetic(Ref("huge"), "*", Ref("huge")), "the result is too large to be true"),
        (Ref("f"), "`volts` is 12 V: expected more"),
        (arithmetic(Ref("f"), "+", Ref("u")), "`volts` is 12 V: expected more"),
        (Ref("s"), "`s` is not a number"),
        (arithmetic(Ref("s"), "+", Ref("u")), "`s` is not a number"),
    ],
)
def test_a_sum_without_a_result_is_unknown_and_says_why(term: Term, reason: str) -> None:
    """What cannot be worked out is not known, nothing is missing for it, and it has a reason."""
    known: dict[str, Held] = {
        "u": quantity(12, "V"),
        "zero": quantity(0, "A"),
        "huge": quantity(1e300, "V"),
        "s": frozenset({"yes"}),
    }
    bench = Bench(known, {"f": REFUSED})
    outcome = evaluate(Compare(">", term, Literal(quantity(1, "V"))), bench)
    assert (None, frozenset(), reason) == (outcome.truth, outcome.missing, outcome.reason)
    assert value_of(term, bench) is None
    assert (
        compiled(outcome.node, {name: n for n, name in enumerate(known)})([*known.values()]) is None
    )


def test_an_outcome_is_a_tree_with_the_values_used() -> None:
    """Each part of a condition keeps its own outcome, its values and both sides of a comparison."""
    limit = Compare("<", arithmetic(Ref("u"), "-", Ref("v")), UnitRef("limit"))
    bench = Bench({"u": quantity(12, "V"), "v": quantity(11, "V"), "unit limit": quantity(2, "V")})
    outcome = evaluate(And((limit, yes("x"))), bench)
    assert [True, None] == [part.truth for part in outcome.parts]
    assert (quantity(1, "V"), quantity(2, "V")) == outcome.parts[0].sides
    assert ["u", "v", "unit limit"] == list(outcome.parts[0].values)


def test_grounds_leave_out_what_did_not_count() -> None:
    """What a truth stands on leaves out the false parts of a true `or`, and those under `not`."""
    bench, (a, b, c) = given_truths(True, False, False)
    outcome = evaluate(And((Or((a, b)), Not(And((a, c))))), bench)
    assert ["x0", "x2"] == list(grounds(outcome))
