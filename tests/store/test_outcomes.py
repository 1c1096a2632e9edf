"""What sessions came to, kept beside them: the step of the file, and what is written and read."""

from __future__ import annotations

import random
import sqlite3
from dataclasses import replace
from pathlib import Path

from diag.store import Store
from diag.store.outcomes import Outcomes, RepairOutcome, SeenSign, Summary
from diag.store.schema import MIGRATIONS, migrate

ONE = RepairOutcome("2026-11-02T08:00:00+00:00", "squeaks", "town", "dry chain", 0.9, "proved")
SUMMARY = Summary(1, (ONE,), (SeenSign("dry chain", "chain", "dry"),))


def with_job(store: Store) -> str:
    """Begin a session of a job, with one entry."""
    with store.transaction() as connection:
        connection.execute(
            "insert or ignore into jobs (id, uid, opened, tag, serial, title, words, used) "
            "values ('j', 'j', '', '', '', '', '', 0)"
        )
    session = store.create({}, "j")
    store.append(session, "noted", {})
    return session


def test_earlier_sessions_are_all_to_be_summed_up(tmp_path: Path) -> None:
    """A file of the step before keeps its sessions, and none of them counts as summed up."""
    path = tmp_path / "s.db"
    at = next(n for n, step in enumerate(MIGRATIONS) if step.__name__.endswith("_outcomes"))
    raw = sqlite3.connect(path, isolation_level=None)
    migrate(raw, path, MIGRATIONS[:at])
    raw.execute(
        "insert into jobs (id, uid, opened, tag, serial, title, words, used) "
        "values ('j', 'j', '', '', '', '', '', 0)"
    )
    raw.execute("insert into sessions (id, started, header, job) values ('s', '', '{}', 'j')")
    raw.execute(
        "insert into events (session, number, at, kind, payload) values ('s', 1, '', 'noted', '{}')"
    )
    migrate(raw, path, MIGRATIONS[: at + 1])
    for table in ("summed", "outcomes", "seen"):
        assert [] == raw.execute(f"select * from {table}").fetchall()
    assert [("s",)] == raw.execute("select id from sessions").fetchall()
    raw.close()


def test_what_is_kept_comes_back(tmp_path: Path) -> None:
    """A summary reads back as it was written, and takes the place of the one before."""
    store = Store(tmp_path / "s.db")
    session, kept = with_job(store), Outcomes(store)
    assert [session] == kept.stale() == kept.stale(["j"])
    kept.keep(session, SUMMARY)
    kept.keep(session, SUMMARY)
    assert [] == kept.stale() == kept.stale(["j"])
    assert (ONE,) == kept.of_session(session)
    assert {("town", "dry chain"): 1} == kept.proved("squeaks")
    assert {("dry chain", "chain"): {"dry": 1}} == kept.seen()
    assert [(0.9, "proved")] == kept.verdicts()
    kept.keep(session, Summary(1))
    assert () == kept.of_session(session)


def test_counts_do_not_hang_on_the_order(tmp_path: Path) -> None:
    """In whatever order sessions came and were summed up, what is counted is the same."""
    summaries = [
        Summary(1, (replace(ONE, unit=unit, result=result, share=share),), SUMMARY.seen)
        for unit in ("town", "race")
        for result in ("proved", "failed", "proved")
        for share in (0.4, 0.9)
    ]
    counted = []
    for number in range(5):
        store = Store(tmp_path / f"{number}.db")
        random.Random(number).shuffle(summaries)
        for summary in summaries:
            Outcomes(store).keep(with_job(store), summary)
        kept = Outcomes(store)
        counted.append((kept.proved("squeaks"), kept.verdicts(), kept.seen()))
        store.close()
    assert [counted[0]] * 5 == counted


def test_a_session_without_a_job_is_not_of_the_record(tmp_path: Path) -> None:
    """A session of no job has none, and nothing of it waits to be summed up."""
    store = Store(tmp_path / "s.db")
    session = store.create({})
    store.append(session, "noted", {})
    assert [] == Outcomes(store).stale()
