"""Time as people pay it: work and waiting apart, long waits last, starts a stock that runs down."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.quantity import SPELLINGS, Quantity
from diag.model.rulebook import Rulebook
from diag.reason.plan.costs import cost_of, extra_minutes
from diag.rulebook.yaml.scalars import minutes
from diag.session.candidates import candidate_checks
from diag.session.state import SessionState
from tests.dangers import shipped

UNIT = "small 12 V"
STARTS = ("watch one start", "try with a charger", "reset the heater", "watch the fuel line")


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return shipped.book()


@settings(max_examples=40, deadline=None)
@given(work=st.floats(0, 90), waits=st.floats(0, 900), price=st.floats(0, 1))
def test_waiting_has_a_price_of_its_own(
    book: Rulebook, work: float, waits: float, price: float
) -> None:
    """A check costs its work and its waiting, each minute of that at the price of waiting."""
    setting = replace(book.scales.settings, price_of_waiting=price)
    priced = replace(book, scales=replace(book.scales, settings=setting))
    check = replace(book.checks["dip the tank"], minutes=work, waits=waits)
    assert pytest.approx(work + price * waits) == cost_of(priced, check)


def test_a_long_wait_is_never_in_the_middle(book: Rulebook) -> None:
    """While anything else can be asked, nothing that waits for longer is offered."""
    long = [one for one in book.checks.values() if one.waits > 60]
    assert long
    for complaint in book.complaints:
        state = SessionState(book, book.units[UNIT], complaint, shipped.compiled(UNIT))
        assert [] == [one for one in candidate_checks(state) if one.check.waits > 60]


def test_a_long_wait_is_offered_where_nothing_else_is_left(book: Rulebook) -> None:
    """With every other check taken out, the night's wait is what is offered."""
    name = "rest the battery overnight"
    alone = replace(book, checks={name: book.checks[name]})
    state = SessionState(alone, book.units[UNIT], "keeps going flat", shipped.compiled(UNIT))
    assert [name] == [one.check.id for one in candidate_checks(state)]


def test_each_start_costs_more_than_the_one_before(book: Rulebook) -> None:
    """Starts run down: the next costs more after each, and more still near the lock-out."""
    few = Quantity(2.0, SPELLINGS["1"])
    unit = book.units[UNIT]
    short = replace(unit, data={**unit.data, book.runs["one start"].at_most: few})
    costs = [extra_minutes(book, short, STARTS[:n])["one start"] for n in range(len(STARTS) + 1)]
    assert 0.0 == costs[0]
    assert [] == [pair for pair in pairwise(costs) if pair[0] >= pair[1]]
    easy = [extra_minutes(book, unit, STARTS[:n])["one start"] for n in range(3)]
    assert costs[2] > easy[2]


def test_a_round_is_one_start(book: Rulebook) -> None:
    """Checks that share the run and follow each other make one of it."""
    once = extra_minutes(book, book.units[UNIT], ["watch one start"])
    assert once == extra_minutes(
        book, book.units[UNIT], ["watch one start", "load test at the battery"]
    )


@pytest.mark.parametrize(("text", "expected"), [("15 min", 15.0), ("8 h", 480.0), ("90 s", 1.5)])
def test_a_wait_is_read_with_its_unit(text: str, expected: float) -> None:
    """A wait is a length of time, kept in minutes."""
    assert expected == minutes(text)


@pytest.mark.parametrize("text", ["15", "-3 min", "4 V"])
def test_a_wait_without_its_unit_is_refused(text: str) -> None:
    """A bare number, one below none and one of another dimension are no wait."""
    with pytest.raises(ValueError, match="is no length of time; write it as `15 min` or `8 h`"):
        minutes(text)
