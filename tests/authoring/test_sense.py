"""A policy looks at nothing that makes no sense on its way, nor before what decides that."""

from __future__ import annotations

import pytest

from diag.authoring.sense import Sense
from diag.authoring.settling import Bench
from diag.reason.belief.belief import Evidence
from tests.dangers import shipped

UNIT = "small 12 V"


@pytest.fixture(scope="module")
def sense() -> Sense:
    book = shipped.book()
    return Sense(book, book.units[UNIT], Bench(book, book.units[UNIT]))


def test_how_it_goes_out_is_looked_at_only_where_it_does(sense: Sense) -> None:
    """Where it burns nobody looks how it goes out; where the flame is lost, one does."""
    burning, lost = (Evidence("start gets to", state, 1.0) for state in ("burning", "flame lost"))
    assert sense.deciding([burning], "how it goes out") is None
    assert frozenset() == sense.deciding([lost], "how it goes out")


def test_what_decides_comes_first(sense: Sense) -> None:
    """With nothing seen, how far the start gets is looked at before how it goes out."""
    assert "start gets to" in (sense.deciding([], "how it goes out") or ())
    assert "start gets to" == sense.first(
        [], "how it goes out", ["start gets to", "how it goes out"]
    )
    assert not sense.may_be_looked_at([], "how it goes out", ["how it goes out"])


def test_what_has_no_condition_always_makes_sense(sense: Sense) -> None:
    """A look that is asked of every unit waits for nothing."""
    assert frozenset() == sense.deciding([], "duct")
