"""The store keeps what was appended, in order, and says plainly when it cannot."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diag.store import Store, StoredEvent, StoreError
from diag.store.schema import APPLICATION_ID, MIGRATIONS, migrate
from tests.store.places import Place

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip
PAYLOADS = st.lists(st.dictionaries(st.text(), JSON, max_size=3), max_size=8)

WRITER = """
import sys
from tests.store.places import opened
store = opened(sys.argv[1])
session = store.create({"subject": "kettle"})
print(session, flush=True)
for number in range(1_000_000):
    store.append(session, "answer", {"number": number})
    print(number, flush=True)
"""

HOLDER = """
import sys
from tests.store.places import opened
store = opened(sys.argv[1])
held = store.lock(sys.argv[2])
print("held", flush=True)
sys.stdin.read()
"""


def _python(code: str, *arguments: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def _kill(process: "subprocess.Popen[str]") -> str:
    process.send_signal(signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
    rest, _ = process.communicate(timeout=20)
    return rest


def is_held(store: Store, session: str) -> bool:
    try:
        store.lock(session).release()
    except StoreError:
        return True
    return False


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(payloads=PAYLOADS)
def test_events_come_back_in_order(payloads: list[dict[str, object]], place: Place) -> None:
    """Events come back, also from a second reader, equal to what was appended and in order."""
    store = place.store(now=lambda: "2030-01-01T10:00:00+00:00")
    session = store.create({"subject": "kettle"})
    for payload in payloads:
        store.append(session, "answer", payload)
    expected = tuple(
        StoredEvent(number, "answer", payload, "2030-01-01T10:00:00+00:00")
        for number, payload in enumerate(payloads, 1)
    )
    assert expected == store.events(session) == place.store().events(session)


def test_sessions_are_listed_latest_first(place: Place) -> None:
    """The session last worked on is first, and closed ones are left out on request."""
    ticks = count()
    store = place.store(now=lambda: f"t{next(ticks):03}")
    first, second, third = (store.create({"n": str(n)}) for n in range(3))
    store.append(first, "answer", {"a": 1})
    store.close_session(third, "found")
    assert [first, third, second] == [row.id for row in store.sessions()]
    assert [first, second] == [row.id for row in store.sessions(open_only=True)]
    row = store.session(first)
    assert ("t000", {"n": "0"}, None, 1, "t003") == (
        row.started, row.header, row.outcome, row.events, row.last,
    )  # fmt: skip


def test_a_taken_id_is_not_used_again(place: Place) -> None:
    """A fresh id that is taken already is drawn again."""
    ids = iter(["same", "same", "other"])
    store = place.store(new_id=lambda: next(ids))
    assert ["same", "other"] == [store.create({}), store.create({})]


def test_kill_between_appends_loses_nothing(place: Place) -> None:
    """A process killed at any moment leaves every event that it had reported as kept."""
    for after in (1, 7, 20):
        writer = _python(WRITER, place.address)
        assert writer.stdout is not None
        session = writer.stdout.readline().strip()
        told = [int(writer.stdout.readline()) for _ in range(after)]
        told += [int(line) for line in _kill(writer).splitlines(keepends=True) if line[-1] == "\n"]
        kept = [event.payload["number"] for event in place.store().events(session)]
        # Lines that were waiting when it was killed may be lost to us, never an event to the store.
        assert list(range(len(kept))) == kept
        assert set(told) <= set(kept)
        assert len(kept) <= max(told) + 2


def test_two_processes_on_one_session(place: Place) -> None:
    """A second process is refused in one sentence, and a killed owner leaves no lock behind."""
    store = place.store()
    session = store.create({})
    other = store.create({})
    holder = _python(HOLDER, place.address, session)
    assert holder.stdout is not None
    assert "held\n" == holder.stdout.readline()
    with pytest.raises(StoreError) as refused:
        store.lock(session)
    where = (
        f"in another window (process {holder.pid})"
        if place.server is None
        else "at another bench or in another window"
    )
    assert (f"session `{session}` is open {where}: go on there, or close that one first") == str(
        refused.value
    )
    store.lock(other).release()
    _kill(holder)
    end = time.monotonic() + 20
    while place.server is not None and time.monotonic() < end and is_held(store, session):
        time.sleep(0.05)  # the server learns of the death a moment later
    with store.lock(session), pytest.raises(StoreError):
        store.lock(session)
    store.lock(session).release()


def test_two_processes_may_write_different_sessions(place: Place) -> None:
    """A second store on the same file appends to its own session while the first is open."""
    first, second = place.store(), place.store()
    one, two = first.create({}), second.create({})
    for number in range(5):
        first.append(one, "answer", {"n": number})
        second.append(two, "answer", {"n": -number})
    assert [0, 1, 2, 3, 4] == [event.payload["n"] for event in second.events(one)]
    assert [0, -1, -2, -3, -4] == [event.payload["n"] for event in first.events(two)]


def test_unknown_and_closed_sessions(place: Place) -> None:
    """An unknown session names open ones, and a closed one takes no more events."""
    store = place.store()
    with pytest.raises(StoreError, match="there is no session `zzz`: none is open"):
        store.events("zzz")
    session = store.create({})
    with pytest.raises(StoreError, match=f"no session `zzz`: open ones are `{session}`"):
        store.append("zzz", "answer", {})
    store.close_session(session, "found")
    with pytest.raises(StoreError, match=rf"session `{session}` is closed \(found\): begin a new"):
        store.append(session, "answer", {})
    assert () == store.events(session)


def test_a_payload_that_json_cannot_hold(place: Place) -> None:
    """A number that JSON cannot hold is refused, and nothing is written."""
    store = place.store()
    session = store.create({})
    with pytest.raises(ValueError, match="JSON"):
        store.append(session, "answer", {"value": float("nan")})
    assert () == store.events(session)


def test_not_a_database(tmp_path: Path) -> None:
    """A file that is no database gets one sentence and is left as it is."""
    path = tmp_path / "sessions.db"
    path.write_text("volts: 12.4\n" * 100)
    with pytest.raises(StoreError) as refused:
        Store(path)
    assert (
        f"`{path}` is not a file of stored sessions: move it away, and a new one is begun"
    ) == str(refused.value)
    assert "volts: 12.4\n" * 100 == path.read_text()


def test_another_programs_database(tmp_path: Path) -> None:
    """A database of another program is refused and not written to."""
    path = tmp_path / "sessions.db"
    with sqlite3.connect(path) as other:
        other.execute("create table recipes (name text)")
    before = path.read_bytes()
    with pytest.raises(StoreError, match="is a database of another program: move it away"):
        Store(path)
    assert before == path.read_bytes()


def test_a_newer_format(tmp_path: Path) -> None:
    """A file of a newer version is refused, naming both formats."""
    path = tmp_path / "sessions.db"
    Store(path).close()
    newer = len(MIGRATIONS) + 1
    with sqlite3.connect(path) as other:
        other.execute(f"pragma user_version = {newer}")
    with pytest.raises(StoreError) as refused:
        Store(path)
    assert (
        f"`{path}` was written by a newer version (its format is {newer}, this version knows up "
        f"to {newer - 1}): update this program, or name another data folder"
    ) == str(refused.value)


def test_a_step_that_fails_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    """Steps are all done or none is, and a later run takes up where the file stands."""

    def more(connection: sqlite3.Connection) -> None:
        connection.execute("create table notes (text text)")

    def fails(connection: sqlite3.Connection) -> None:
        raise sqlite3.OperationalError("no")

    path = tmp_path / "s.db"
    store = Store(path)
    session = store.create({})
    store.append(session, "answer", {"n": 1})
    raw = sqlite3.connect(path, isolation_level=None)
    with pytest.raises(sqlite3.OperationalError):
        migrate(raw, path, (*MIGRATIONS, more, fails))
    assert (len(MIGRATIONS),) == raw.execute("pragma user_version").fetchone()
    migrate(raw, path, (*MIGRATIONS, more))
    assert (len(MIGRATIONS) + 1,) == raw.execute("pragma user_version").fetchone()
    assert (APPLICATION_ID,) == raw.execute("pragma application_id").fetchone()
    assert [1] == [json.loads(text)["n"] for (text,) in raw.execute("select payload from events")]


def test_a_file_in_place_of_the_folder(tmp_path: Path) -> None:
    """A data folder that is a file gets one sentence."""
    (tmp_path / "data").write_text("")
    with pytest.raises(StoreError) as refused:
        Store(tmp_path / "data" / "sessions.db")
    assert (
        f"`{tmp_path / 'data'}` cannot be used (file exists): name another data folder or repair it"
    ) == str(refused.value)


def test_a_folder_in_place_of_the_file(tmp_path: Path) -> None:
    """A folder where the file should be gets one sentence."""
    with pytest.raises(StoreError, match="cannot be opened: make it and its folder readable"):
        Store(tmp_path)


def as_nobody(act: Callable[[], str]) -> str:
    """Return what an act returns to somebody who may not write anywhere, as root may."""
    reads, writes = os.pipe()
    child = os.fork()
    if not child:
        if os.geteuid() == 0:
            os.setgid(65534)
            os.setuid(65534)
        os.write(writes, act().encode())
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads, "rb") as told:
        text = told.read().decode()
    os.waitpid(child, 0)
    return text


def test_a_read_only_folder() -> None:
    """A folder that cannot be written to gets one sentence."""
    folder = Path(tempfile.mkdtemp())

    def opens() -> str:
        try:
            Store(folder / "sessions.db")
        except StoreError as refused:
            return str(refused)
        return "it opens"

    folder.chmod(0o555)
    try:
        assert "cannot be opened: make it and its folder readable" in as_nobody(opens)
    finally:
        folder.chmod(0o700)
        folder.rmdir()


def test_a_database_that_may_only_be_read(tmp_path: Path) -> None:
    """A write that SQLite refuses gets one sentence, and what was kept can still be read."""
    store = Store(tmp_path / "s.db")
    session = store.create({})
    store.append(session, "answer", {"n": 1})
    store.database.connection.execute("pragma query_only = on")
    with pytest.raises(StoreError, match="cannot be written to: make it and its folder writable"):
        store.append(session, "answer", {"n": 2})
    assert [1] == [event.payload["n"] for event in store.events(session)]


def test_a_full_disk(tmp_path: Path) -> None:
    """A full disk gets one sentence, keeps all before it, and takes answers again with room."""
    path = tmp_path / "s.db"
    store = Store(path)
    session = store.create({})
    (pages,) = store.database.connection.execute("pragma page_count").fetchone()
    store.database.connection.execute(f"pragma max_page_count = {pages + 2}")

    def fill() -> None:
        for _ in range(100):
            store.append(session, "answer", {"text": "x" * 1000})

    with pytest.raises(StoreError) as refused:
        fill()
    kept = len(store.events(session))
    assert (
        f"`{path}` has no room left on its disk: free some space and give the last answer again; "
        "all before it is kept"
    ) == str(refused.value)
    assert 0 < kept == len(Store(path).events(session)) < 100
    store.database.connection.execute("pragma max_page_count = 100000")
    assert kept + 1 == store.append(session, "answer", {"text": "again"}).number
