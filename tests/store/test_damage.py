"""Damaged files of sessions, clocks that were set back, and files of the step before."""

from __future__ import annotations

import random
import sqlite3
from pathlib import Path

import pytest

from diag.rulebook import load_rulebook
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import Answered, Heeded, Noted, as_record, journal_of
from diag.session.next_prompt import next_prompt
from diag.session.state import SessionState
from diag.store import Store, StoreError
from diag.store.drills import Drills
from diag.store.schema import APPLICATION_ID, m001_sessions_and_events

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"
BOOK = load_rulebook([BICYCLE], {})
UNIT = BOOK.units["town bicycle"]
SHARED = CompiledRulebook.of(BOOK, UNIT)
WRITTEN = (
    Answered("brake gone", "yes", "told", "2026-01-01T10:00:00"),
    Heeded("no brakes"),
    Answered("brake gone", "no", "told", again=True),
    Answered("tyre", "soft", "seen", check="squeeze the tyre"),
    Noted("the owner was here"),
)


def written(path: Path) -> str:
    """Keep two sessions and a drill in a file, and return the id of the second session."""
    store = Store(path)
    store.create({"unit": UNIT.id, "complaint": "goes flat"})
    session = store.create({"unit": UNIT.id, "complaint": "goes flat"})
    for event in WRITTEN:
        store.append(session, *as_record(event))
    drills = Drills(store)
    drill = drills.create(1, UNIT.id, "slow puncture", drawn=(3, 1), rules=BOOK.hash)
    drills.append(drill, "look", {"at": "tyre"})
    drills.end(drill, "called", [("wheels", "slow puncture", 7.0)])
    store.close()
    return session


def resumed(path: Path) -> SessionState:
    """Go on with the latest session, and keep one more answer."""
    store = Store(path)
    try:
        rows = store.sessions(open_only=True)
        state = SessionState(BOOK, UNIT, "goes flat", SHARED)
        if rows:
            kept = store.events(rows[0].id)
            state.replay(journal_of(kept))
            store.append(rows[0].id, *as_record(Noted("gone on")))
        next_prompt(state)
        return state
    finally:
        store.close()


def outcome(path: Path) -> str:
    """Return what is told when the latest session is gone on with; empty where nothing is."""
    try:
        return "; ".join(resumed(path).left_out)
    except StoreError as refused:
        return str(refused).removeprefix(f"`{path}` ")


@pytest.mark.parametrize("seed", range(4))
def test_a_flipped_bit_is_one_sentence_or_one_entry(seed: int, tmp_path: Path) -> None:
    """Of 250 files with a bit turned over, none raises anything but a sentence of the store."""
    path, chance = tmp_path / "s.db", random.Random(seed)
    written(path)
    whole = path.read_bytes()
    for _ in range(250):
        at, bit = chance.randrange(len(whole)), chance.randrange(8)
        path.write_bytes(whole[:at] + bytes([whole[at] ^ (1 << bit)]) + whole[at + 1 :])
        for beside in ("-wal", "-shm"):
            path.with_name(path.name + beside).unlink(missing_ok=True)
        assert "\n" not in outcome(path)


def test_a_file_that_is_cut_short_is_told(tmp_path: Path) -> None:
    """Wherever it was cut, the file is refused in a sentence, or the entry that is gone is told."""
    path = tmp_path / "s.db"
    written(path)
    whole = path.read_bytes()
    for length in (100, *range(512, len(whole), 611), len(whole) - 1):
        path.write_bytes(whole[:length])
        for beside in ("-wal", "-shm"):
            path.with_name(path.name + beside).unlink(missing_ok=True)
        told = ("is damaged: put back", "is not a file of stored sessions: ", "entry ")
        assert outcome(path).startswith(told)


def test_what_is_no_text_leaves_the_rest_readable(tmp_path: Path) -> None:
    """An entry whose text is spoilt is told with its number, and all others count."""
    path = tmp_path / "s.db"
    session = written(path)
    with sqlite3.connect(path) as raw:
        raw.execute(
            "update events set payload = cast(x'ff7b' as text) where session = ? and number = 1",
            (session,),
        )
        raw.execute("delete from events where session = ? and number = 2", (session,))
    raw.close()
    state = resumed(path)
    assert [
        "entry 1 of the journal, `answered`, cannot be read by this version: it is left out",
        "entry 2 is missing from the journal: it is left out",
    ] == state.left_out
    assert ["no", "soft"] == [state.readings[name].value for name in ("brake gone", "tyre")]


def test_the_latest_session_is_the_one_used_last_whatever_the_clock_says(tmp_path: Path) -> None:
    """With a clock that runs backwards, order of use alone decides."""
    ticks = iter(range(100, 0, -1))
    store = Store(tmp_path / "s.db", now=lambda: f"t{next(ticks):03}")
    first, second, third = (store.create({}) for _ in range(3))
    store.append(second, "noted", {"text": "here"})
    assert [second, third, first] == [row.id for row in store.sessions()]
    store.append(first, "noted", {"text": "there"})
    assert [first, second, third] == [row.id for row in store.sessions()]


def test_a_file_of_the_first_step_keeps_its_sessions_in_order(tmp_path: Path) -> None:
    """What an earlier version kept comes back, the latest by its clock first, and goes on."""
    path = tmp_path / "s.db"
    with sqlite3.connect(path) as raw:
        m001_sessions_and_events(raw)
        raw.execute(f"pragma application_id = {APPLICATION_ID}")
        raw.execute("pragma user_version = 1")
        raw.executemany(
            "insert into sessions (id, started, header) values (?, ?, '{}')",
            [("old", "t1"), ("new", "t2"), ("used", "t0")],
        )
        raw.execute("insert into events values ('used', 1, 't3', 'noted', '{\"text\": \"a\"}')")
    raw.close()
    store = Store(path)
    assert ["used", "new", "old"] == [row.id for row in store.sessions()]
    assert {"text": "a"} == store.events("used")[0].payload
    store.append("old", "noted", {"text": "b"})
    assert ["old", "used", "new"] == [row.id for row in store.sessions()]
