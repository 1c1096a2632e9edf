"""What acts cost: paid once, and again after what undoes it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diag.cli.book import load_book
from diag.model.rulebook import Check, Rulebook
from diag.reason.plan.costs import minutes_of, opened_by


@pytest.fixture
def book() -> Rulebook:
    """Return a rulebook of three checks: a run undoes what the others need."""
    ready = ("standing still",)
    checks = [
        Check("run", "", "", 4, (), undoes=ready),
        Check("look", "", "", 2, (), tools=("gauge",), access="inside", needs=ready),
        Check("feel", "", "", 3, (), tools=("gauge",), access="inside", needs=ready),
    ]
    shipped = load_book()
    scales = replace(
        shipped.scales, access={"inside": 10}, needs={"standing still": 15}, tools={"gauge": 1}
    )
    return replace(shipped, scales=scales, checks={check.id: check for check in checks})


def test_what_is_fetched_and_opened_is_paid_once(book: Rulebook) -> None:
    """The second check with the same tool, access and need costs its own minutes alone."""
    assert 2 + 1 + 10 + 15 + 3 == minutes_of(book, ["look", "feel"])


def test_what_an_act_undoes_is_paid_again(book: Rulebook) -> None:
    """A run between two checks makes the second wait again; a run before both does not."""
    assert 2 + 26 + 4 + 3 + 15 == minutes_of(book, ["look", "run", "feel"])
    assert 4 + 2 + 26 + 3 == minutes_of(book, ["run", "look", "feel"])
    assert frozenset({"gauge", "inside"}) == opened_by(book, ["look", "run"])
