"""The language of conditions: what it takes, what it refuses; writing inverts reading."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from written import CONDITIONS, TERMS

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
    written,
)
from diag.model.quantity import quantity
from diag.rulebook import Mistake, parse_condition
from diag.rulebook.language.grammar import parse
from diag.rulebook.language.tokens import why_no_id


@given(CONDITIONS)
def test_written_conditions_read_back(node):
    """Any condition, written and parsed again, is the same condition."""
    assert written(parse(written(node))) == written(node)


@given(TERMS)
def test_written_sums_read_back(node):
    """Any sum, written and parsed again, is the same sum but for the last place of a number."""
    assert written(parse(written(node))) == written(node)


@given(st.text(max_size=60))
def test_any_text_is_parsed_or_refused(text):
    """No text whatever does anything but parse or raise a `Mistake` inside the text."""
    try:
        parse(text)
    except Mistake as mistake:
        assert 0 <= mistake.at <= len(text)  # noqa: PT017


def test_structure():
    """`and` binds before `or`, `not` before both, `between` is two comparisons."""
    assert parse_condition("not a is b and c between 1 V and 2 V or known(d)") == Or(
        (
            And(
                (
                    Not(Is("a", ("b",))),
                    And(
                        (
                            Compare(">=", Ref("c"), Literal(quantity(1, "V"))),
                            Compare("<=", Ref("c"), Literal(quantity(2, "V"))),
                        )
                    ),
                )
            ),
            Known("d"),
        )
    )


def test_sums():
    """Products bind before sums, sums group from the left, `5 C` is a point."""
    assert parse("a - b - 2 * unit c > -5 C") == Compare(
        ">",
        Arithmetic(
            "-",
            Arithmetic("-", Ref("a"), Ref("b")),
            Arithmetic("*", Literal(quantity(2, "1")), UnitRef("c")),
        ),
        Literal(quantity(-5, "C")),
    )


def test_broken_lines():
    """A condition may be broken over lines anywhere between two words."""
    assert parse("cell\n  volts is\n one of a,\n b") == Is("cell volts", ("a", "b"))


@pytest.mark.parametrize(
    ("text", "at", "said"),
    [
        ("", 0, "the line ends where a name or a number is expected"),
        ("a > ", 3, "the line ends where a name or a number is expected"),
        ("a -5 V > 3", 2, "`-` needs a blank on both sides"),
        ("a > 12,400 V", 4, "`12,400` could be 12.4 or 12400; write one of them"),
        ("a > 12,4,5 V", 8, "a comma cannot stand here; write decimals with a point"),
        ("x is not lit", 5, "a state is expected after `is`; write `not NAME is STATE`"),
        ("x > 5 furlongs", 6, "`furlongs` is not a known unit of measure"),
        ("Beam is on", 0, "`B` cannot stand in a condition; names are written in lower case"),
        ("a", 0, "this is a value where a condition is expected; compare it, or write "
         "`NAME is STATE`"),
        ("a > (b is c)", 5, "this is a condition where a value is expected"),
        ("(a > b", 6, "`)` is missing to close the `(` at character 1"),
        ("a > b c > d", 8, "`>` is not expected here; join with `and` or `or`"),
        ("a between 1 V", 13, "`and` is missing after `between X`"),
        ("5 is b", 2, "`is` must follow the name of a finding or a sign"),
        ("a > 1e999", 5, "`e999` is not a known unit of measure"),
        ("a > " + "9" * 400, 4, f"`{'9' * 39}…` is too long for an amount; it has at most 60 "
         "characters"),
        ("a > 007 V", 4, "`007 V` is not a number that a meter can show; write at most 12 digits, "
         "and no zeros ahead of them"),
        ("not " * 41 + "a is b", 160, "this is nested more than 40 levels deep"),
        ("(" * 10_000, 1_000, "this is longer than 400 words and marks; split it into several "
         "rules or figures"),
        ("__import__('os')", 0, "`_` cannot stand in a condition"),
    ],
)  # fmt: skip
def test_refused(text, at, said):
    """Each mistake has one sentence and the place of the word to blame."""
    with pytest.raises(Mistake) as found:
        parse_condition(text)
    assert str(found.value) == said
    if len(text) < 1_000:
        assert found.value.at == at


@pytest.mark.parametrize("name", ["beam", "low-voltage cut-off", "rider's lamp", "stage 2"])
def test_ids(name):
    """Lower-case words with inner hyphens and apostrophes are ids."""
    assert why_no_id(name) == ""


@pytest.mark.parametrize("name", ["Beam", "2 stage", "a  b", "a and b", "unit volts", "a_b", ""])
def test_no_ids(name):
    """Capitals, doubled blanks, reserved words and other signs make no id."""
    assert why_no_id(name) != ""


def test_rulebook_checks_the_names(lamps):
    """With a rulebook the names are looked up, and near ones offered."""
    with pytest.raises(Mistake) as found:
        parse_condition("bean is dim", lamps)
    assert str(found.value) == ("there is no finding, sign or figure `bean`; did you mean `beam`?")
