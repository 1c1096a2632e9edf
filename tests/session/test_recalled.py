"""What a session recalls of the record moves what is believed, by the journal alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.model.rulebook import Rulebook
from diag.reason.belief.weigh import weigh
from diag.rulebook import load_rulebook
from diag.session.account.recalled import Moved, moved_by_record
from diag.session.journal.events import Complained, Undone, as_record, from_record
from diag.session.journal.recalled import Recalled, Recollection
from diag.session.state import SessionState

BREAD = load_rulebook([Path(__file__).parents[1] / "books" / "bread"], {})


def session(book: Rulebook = BREAD) -> SessionState:
    return SessionState(book, book.units["tin loaf"], "poor crust")


def odds(state: SessionState, cause: str) -> float:
    """Return the odds of a cause alone against nothing wrong."""
    return state.posterior.singles[cause] / state.posterior.nothing


CAUSE, OTHER = [name for name, _ in session().posterior.ranking][1:3]
RECORD = Recalled("poor crust", 37, (Recollection(CAUSE, 5.0),), (Recollection(OTHER, 0.5, "new"),))


def test_the_record_multiplies_odds() -> None:
    """A cause is as many times likelier, against nothing wrong, as the record says."""
    state, bare = session(), session()
    state.apply(RECORD)
    assert 5.0 == pytest.approx(odds(state, CAUSE) / odds(bare, CAUSE))
    assert 0.5 == pytest.approx(odds(state, OTHER) / odds(bare, OTHER))


def test_shares_are_of_one_complaint() -> None:
    """What the record says of a complaint counts while that is complained of; the past always."""
    state, bare = session(), session()
    other = next(name for name in BREAD.complaints if name != "poor crust")
    state.replay([RECORD, Complained((other,))])
    bare.apply(Complained((other,)))
    assert 1.0 == pytest.approx(odds(state, CAUSE) / odds(bare, CAUSE))
    assert 0.5 == pytest.approx(odds(state, OTHER) / odds(bare, OTHER))
    state.apply(Complained(("poor crust",)))
    assert 5.0 == pytest.approx(odds(state, CAUSE) / odds(session(), CAUSE))


def test_why_names_the_record() -> None:
    """The reasons for a cause tell the record and the share in the rules apart."""
    state, bare = session(), session()
    state.apply(RECORD)
    [prior, record, *_] = weigh(state.belief, CAUSE)
    assert weigh(bare.belief, CAUSE)[0].decibans == pytest.approx(prior.decibans)
    assert "37 proved repairs on record" == record.label
    assert 6.99 == pytest.approx(record.decibans, abs=0.005)
    assert "new" == weigh(state.belief, OTHER)[1].label


def test_moves_are_told() -> None:
    """A cause that the record brings to the top is told with its places before and now."""
    state = session()
    assert () == moved_by_record(state)
    state.apply(RECORD)
    first = moved_by_record(state)[0]
    was = session().posterior.causes[CAUSE]
    assert Moved(CAUSE, 2, 1, was, state.posterior.causes[CAUSE]) == first


def test_a_record_of_no_weight_moves_nothing() -> None:
    """Where every number is 1, the record says nothing."""
    state = session()
    state.apply(Recalled("poor crust", 3, (Recollection(CAUSE, 1.0),)))
    assert () == moved_by_record(state)


def test_undo_takes_the_record_back() -> None:
    """What was recalled is taken back as any act is."""
    state = session()
    state.replay([RECORD, Undone(0)])
    assert session().posterior.singles == state.posterior.singles


def test_a_later_record_takes_the_place() -> None:
    """What is recalled later takes the place of what was recalled before."""
    state = session()
    state.replay([RECORD, Recalled()])
    assert session().posterior.singles == state.posterior.singles


def test_a_cause_that_is_gone_is_left_out_alone() -> None:
    """Of the record only that is left out, with a sentence, which the rules no longer know."""
    state = session()
    gone = Recollection("rusted wings", 9.0)
    state.apply(Recalled("poor crust", 40, (gone, *RECORD.shares)))
    said = "the rules no longer know `rusted wings`: what the record says of it is left out"
    assert [said] == state.left_out
    assert 5.0 == pytest.approx(odds(state, CAUSE) / odds(session(), CAUSE))


@pytest.mark.parametrize("times", [0.0, -1.0, float("inf"), float("nan"), "2", None])
def test_numbers_that_are_none_are_left_out(times: object) -> None:
    """A stored number that odds cannot be multiplied by is left out with a sentence."""
    kind, payload = as_record(RECORD)
    payload["shares"] = [{"cause": CAUSE, "times": times, "why": ""}]
    said = "an entry `recalled` cannot be read by this version: it is left out"
    assert said == getattr(from_record(kind, payload), "why", None)
