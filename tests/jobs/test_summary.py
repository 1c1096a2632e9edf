"""What sessions of jobs came to, kept beside them and made anew from their journals."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.jobs.learning.summary import rebuild, summarise, summary_of
from diag.session.journal.events import Undone
from diag.session.state import SessionState
from diag.store import Store
from diag.store.outcomes import Outcomes
from tests.jobs.loaves import BREAD, LOAF, POOR, answered, found, job_in

TORN = (answered("crust", "torn"), answered("slashed", "no"))
PROVED = found("top not slashed", *TORN)
FAILED = found("top not slashed", *TORN, proved=False)


def test_a_proved_repair_is_an_outcome(tmp_path: Path) -> None:
    """The summary holds the cause, how sure it was before its repair, and that it was proved."""
    store = Store(tmp_path / "record.db", now=lambda: "2026-11-02T08:00:00+00:00")
    session = job_in(store, PROVED)
    assert summarise(store, BREAD, session)
    [one] = Outcomes(store).of_session(session)
    before = SessionState(BREAD, BREAD.units[LOAF], POOR).replay(TORN)
    assert ("top not slashed", "proved", POOR, LOAF) == (
        one.cause, one.result, one.complaint, one.unit
    )  # fmt: skip
    assert before.posterior.causes["top not slashed"] == pytest.approx(one.share, abs=1e-6)
    assert "2026-11-02T08:00:00+00:00" == one.at
    seen = Outcomes(store).seen()
    assert {"torn": 1} == seen["top not slashed", "crust"]
    assert {"no": 1} == seen["top not slashed", "slashed"]


def test_a_repair_that_failed_is_none(tmp_path: Path) -> None:
    """What did not hold is kept as that, counts as no proof, and teaches nothing of signs."""
    store = Store(tmp_path / "record.db")
    session = job_in(store, FAILED)
    summarise(store, BREAD, session)
    assert ["failed"] == [one.result for one in Outcomes(store).of_session(session)]
    assert {} == Outcomes(store).proved(POOR)
    assert {} == Outcomes(store).seen()


def test_a_repair_taken_back_is_none(tmp_path: Path) -> None:
    """A repair that was undone is in no summary."""
    store = Store(tmp_path / "record.db")
    session = job_in(store, [*TORN, PROVED[2], Undone(2)])
    assert () == summary_of(BREAD, LOAF, POOR, store.events(session)).outcomes


def test_a_repair_made_twice_is_one_verdict(tmp_path: Path) -> None:
    """Run once more and proved then, it counts once, as sure as it was held the first time."""
    store = Store(tmp_path / "record.db")
    once = job_in(store, FAILED)
    twice = job_in(store, [*FAILED, *PROVED[2:]])
    [failed] = summary_of(BREAD, LOAF, POOR, store.events(once)).outcomes
    [proved] = summary_of(BREAD, LOAF, POOR, store.events(twice)).outcomes
    assert ("failed", "proved") == (failed.result, proved.result)
    assert failed.share == proved.share


def test_all_follows_from_the_journals(tmp_path: Path) -> None:
    """Summaries made anew are those that were kept, and only what is not summed yet is worked out.

    So a record that was brought in needs no more than its journals.
    """
    store = Store(tmp_path / "record.db")
    sessions = [job_in(store, PROVED), job_in(store, FAILED), job_in(store, PROVED)]
    assert set(sessions) == set(Outcomes(store).stale())
    assert (3, 0) == rebuild(store, BREAD)
    kept = [Outcomes(store).of_session(one) for one in sessions]
    assert {(LOAF, "top not slashed"): 2} == Outcomes(store).proved(POOR)
    assert (0, 0) == rebuild(store, BREAD)
    assert (3, 0) == rebuild(store, BREAD, anew=True)
    assert kept == [Outcomes(store).of_session(one) for one in sessions]
    store.append(sessions[0], "noted", {"text": "brown at last", "when": ""})
    assert [sessions[0]] == Outcomes(store).stale()


def test_what_the_rules_do_not_know_is_told(tmp_path: Path) -> None:
    """A session on a unit that these rules lack is counted as left out, and stops nothing."""
    store = Store(tmp_path / "record.db")
    session = job_in(store, PROVED)
    with store.transaction() as connection:
        connection.execute(
            "update sessions set header = replace(header, 'tin loaf', 'long loaf') where id = ?",
            (session,),
        )
    assert (0, 1) == rebuild(store, BREAD)


def test_a_session_that_is_gone_leaves_nothing(tmp_path: Path) -> None:
    """What a session came to goes with it."""
    store = Store(tmp_path / "record.db")
    session = job_in(store, PROVED)
    summarise(store, BREAD, session)
    with store.transaction() as connection:
        connection.execute("delete from events where session = ?", (session,))
        connection.execute("delete from sessions where id = ?", (session,))
    assert {} == Outcomes(store).proved(POOR)
    assert {} == Outcomes(store).seen()
