"""Conditions read by their clauses are what the parser makes of them as a whole."""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st
from written import CONDITIONS

from diag.model.expression import Condition, written
from diag.rulebook import Mistake
from diag.rulebook.build.link import names_of
from diag.rulebook.language import clauses, grammar
from diag.rulebook.language.dimensions import Names, TypeMismatch

WORDS = st.sampled_from(
    [
        *("cell", "volts", "stage", "unit", "one", "is", "of", "and", "or", "not", "between", "V"),
        *("known", "2", "2.5", "-5", "05", "2-x", "m-x", "m", "mm2", "min", "km/h", "/s", "%", "1"),
        *("<", ">=", "+", "-", "/", "*", "(", ")", ",", "known(x)", "x,", "(a", "-a", "5V", "5x"),
        *("5.", ".5", "1e5", "1_0", "٣", "99999999999999999"),
    ]
)
GAPS = st.sampled_from([" ", " ", " ", " ", "  ", "\n", "\t", ""])
CLAUSES = st.sampled_from(
    [
        *("a is b", "not a is b", "known(a)", "a is one of b, c", "a is stage 2", "stage 2 is a"),
        *("a < 5 V", "a < -5.25 C", "a <  5 V", "a < 5V", "a < 5", "not a < 5 V", "(a) < 5 V"),
        *("a > b - 0.5 mm2", "a < - 5 V", "a < - -5 V", "5 V < a", "stage 2 = 2 * (b + 2 V)"),
        *("(a is b or c is d)", "a between 1 V and 2 V", "a is b\nand c is d", "5 furlongs > a"),
        *("a < 5. V", "a < .5 V", "a < 1e5 V", "a < 1_0 V", "a < inf V", "a < +5 V", "a < ٣ V"),
        *("a", "a -5 V", "5", "5 > b", "not", "a is", "(a is b", "d)", "a is stage 2 V", ""),
    ]
)
JOINS = st.sampled_from(
    [" and ", " and ", " or ", " or ", " and not ", "  and ", " and\n", "\nor ", " or (", " and  "]
)
ABOUT_LAMPS = st.sampled_from(
    [
        *("cell volts < 5 V", "cell volts < unit rated volts - 0.5 V", "blinks > 3", "known(wet)"),
        *("not beam is dim", "air - 5 C > 2 K", "supply is one of holds, sags", "lamp power > 5 W"),
        *("cell volts < 5 A", "beam is drak", "cell volts is low", "unit watts > 5 V", "air > 5"),
        *("known(rain)", "beam > 3", "air * 2 > 5 C"),
    ]
)


def texts(words: st.SearchStrategy[str], joins: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Draw words and what joins them, without the last joint."""
    pairs = st.lists(st.tuples(joins, words), min_size=1, max_size=8)
    return pairs.map(lambda found: "".join(join + word for join, word in found)[len(found[0][0]) :])


def outcome(text: str, whole: bool) -> object:
    """Return what becomes of a text: a condition, or all that is said against it."""
    try:
        return grammar.condition(text) if whole else clauses.condition(text).condition
    except Mistake as mistake:
        return mistake.at, mistake.width, mistake.message, mistake.advice


def fits(names: Names, condition: Condition) -> bool:
    """Tell whether the names, states and dimensions of a condition fit."""
    try:
        names.check(condition)
    except TypeMismatch:
        return False
    return True


@given(CONDITIONS)
def test_conditions_by_their_clauses(node):
    """Any condition reads by its clauses as it reads as a whole."""
    text = written(node)
    assert outcome(text, whole=True) == outcome(text, whole=False)


@given(st.one_of(texts(CLAUSES, JOINS), texts(WORDS, GAPS)))
@example("a is b and c is d\nor e is f")
@example("a < 5. V")
@example("a < " + "9" * 350 + " V")
def test_any_words_by_their_clauses(text):
    """Whatever is joined, by clauses it is the same condition or the same mistake in its place."""
    assert outcome(text, whole=True) == outcome(text, whole=False)


def test_forms_are_shared():
    """Conditions that differ in the last number of each clause have the same forms."""
    one = clauses.condition("cell volts < unit rated volts - 0.5 V and air > 2 C or beam is dim")
    other = clauses.condition("cell volts < unit rated volts - 12.25 V and air > -7 C")
    assert len(one.forms) == 3
    assert one.forms[:2] == other.forms


@given(texts(ABOUT_LAMPS, st.sampled_from([" and ", " or "])))
def test_forms_fit_as_the_whole(lamps, text):
    """A condition makes sense of its names and units if, and only if, all its forms do."""
    names = names_of(lamps)
    read = clauses.condition(text)
    assert fits(names, read.condition) == all(fits(names, form.condition) for form in read.forms)


def test_long_conditions_are_refused():
    """What could be read clause by clause may not have more words than any other."""
    text = " or ".join(["a is b"] * 101)
    assert outcome(text, whole=False) == (
        len("a is b or ") * 100,
        1,
        "this is longer than 400 words and marks",
        "split it into several rules or figures",
    )
