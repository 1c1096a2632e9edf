"""A fleet's record on a server: who may do what, and what happens when the server is away."""

from __future__ import annotations

import os
import signal
import sqlite3
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from diag.jobs.entries import Labelled, Opened, Remarked, entry_as_data
from diag.jobs.people import entry_without_people, event_without_people
from diag.jobs.record import index_of
from diag.store import Store, StoreError
from diag.store.database import Database
from diag.store.exchange.incoming import Incoming
from diag.store.exchange.outgoing import all_names, bundles
from diag.store.jobs import Jobs
from diag.store.schema import MIGRATIONS, OLDEST_WRITER
from tests.store.places import opened
from tests.store.server import BENCH, KEEPER, Server

psycopg = pytest.importorskip("psycopg", reason="the driver of PostgreSQL is not installed")

from diag.store.shared import server as at_server  # noqa: E402
from diag.store.shared.fleet import OwnBench, SharedStore  # noqa: E402
from diag.store.shared.fleet import opened as opened_by  # noqa: E402
from diag.store.shared.prepared import admit, prepare  # noqa: E402
from diag.store.shared.refusals import OutOfReach  # noqa: E402
from diag.store.shared.server import ServerDatabase  # noqa: E402


@pytest.fixture
def record(server: Server) -> str:
    """Make a record on the server, and return its name."""
    return server.prepared()


@pytest.fixture
def own_server() -> Iterator[Server]:
    """Start a server that a test may stop."""
    from tests.store.server import why_not

    if reason := why_not():
        pytest.skip(reason)
    started = Server()
    yield started
    started.close()


class Told(list[str]):
    """What a bench is told, in order."""


def a_bench(folder: Path, told: Told | None = None) -> OwnBench:
    told = Told() if told is None else told
    return OwnBench(folder / "apart.db", folder / "sessions.db", index_of, told.append)


def at(address: str, bench: OwnBench) -> Store:
    return opened_by(lambda: ServerDatabase(address), bench)


def texts(store: Store, session: str) -> list[Any]:
    return [event.payload["n"] for event in store.events(session)]


def a_job(store: Store) -> str:
    jobs = Jobs(store, index_of)
    label = Labelled(customer="A. Body", vehicle="bus 3", tag="LIB-03", about="ask for A. Body")
    job = jobs.open(*entry_as_data(Opened("small 12 V", "A. Body says it smokes", label)))
    jobs.append(job, *entry_as_data(Remarked("call A. Body")))
    return job


ERASES = [
    "delete from {}", "truncate {}", "drop table {}", "alter table {} add column x int",
]  # fmt: skip


@pytest.mark.parametrize("table", ["jobs", "job_entries", "sessions", "events"])
@pytest.mark.parametrize("query", ERASES)
def test_a_bench_may_not_erase(query: str, table: str, server: Server, record: str) -> None:
    """A bench's name may add and read, and is refused all that takes away or changes tables."""
    store = opened(server.address(record))
    session = store.create({}, a_job(store))
    store.append(session, "noted", {"n": 1})
    with pytest.raises(StoreError):
        store.rows(query.format(table))
    assert [1] == texts(store, session)
    assert 2 == len(Jobs(store, index_of).entries(Jobs(store, index_of).jobs()[0].id))


@pytest.mark.parametrize("change", [
    "update events set payload = '{}'", "update job_entries set payload = '{}'",
    "update events set number = 2", "update sessions set header = '{}'",
    "update jobs set uid = 'x'", "update diag_schema set version = 99",
    "insert into drills (id) values ('x')", "create table more (x int)",
])  # fmt: skip
def test_a_bench_may_not_change_what_was_added(change: str, server: Server, record: str) -> None:
    """What was measured and written down cannot be changed by a bench's name."""
    store = opened(server.address(record))
    with pytest.raises(StoreError) as refused:
        store.rows(change)
    assert (
        f"the shared record at `{record}` on `{server.folder}` lets this bench add and read, not "
        "erase or change: ask the one who keeps it"
    ) == str(refused.value)


def test_a_job_cannot_be_removed_from_the_shared_record(server: Server, record: str) -> None:
    """To erase a job of the shared record is refused in a sentence, and all of it stays."""
    store = opened(server.address(record))
    job = a_job(store)
    with pytest.raises(StoreError, match="lets this bench add and read, not erase or change"):
        Jobs(store, index_of).remove(job)
    assert 2 == len(Jobs(store, index_of).entries(job))


def test_what_the_keeper_erases_no_bench_brings_back(
    server: Server, record: str, tmp_path: Path
) -> None:
    """A job erased at the server stays so; what a bench wrote of it then is in its own file."""
    address, told, bench = server.address(record), Told(), a_bench(tmp_path)
    store = SharedStore(BreaksAfterwards(ServerDatabase(address)), bench)
    job = a_job(store)
    session = store.create({}, job)
    exported = list(bundles(store, *all_names(store)))
    with store.lock(session):
        store.database.breaks = True  # type: ignore[attr-defined]
        store.append(session, "noted", {"n": 1})
    store.close()
    keeper = opened(server.address(record, KEEPER))
    assert [session] == Jobs(keeper, index_of).remove(job)
    with closing(at(address, replace(bench, tell=told.append))) as again:
        assert ([], []) == all_names(again)
        back = Incoming(again, Jobs(again, index_of))
        back.take(exported)
        assert (0, 0, 1) == (back.new, back.grown, len(back.erased))
        with pytest.raises(StoreError, match="lets this bench add and read, not erase or change"):
            Incoming(again, Jobs(again, index_of), anyway=True).take(exported)
    assert [
        "Erased in the shared record meanwhile, and left out there: 1. What this bench wrote of it "
        f"is in `{bench.own}`; without DIAG_STORE, `diag jobs` shows and erases it."
    ] == told
    with closing(Store(bench.own)) as own, closing(Store(bench.apart)) as apart:
        assert [1] == texts(own, session)
        assert ([], []) == all_names(apart)


def test_benches_stay_let_in_when_the_record_is_brought_up_to_date(server: Server) -> None:
    """A table that a later version adds is open to the benches of before, without a word of it."""
    name = server.empty()
    with server.connection(name) as keeper:
        prepare(keeper, name, MIGRATIONS[:-1])
        keeper.execute("create table erased (uid text)")  # so that it can be granted
        admit(keeper, BENCH)
        keeper.execute("drop table erased")
        prepare(keeper, name)
    with closing(opened(server.address(name))) as store:
        assert [] == store.rows("select uid from erased")


DOORS: list[tuple[Callable[[Server, str], str], str]] = [
    (lambda s, r: s.address(r, password="wrong"), "does not know this name with this password"),
    (lambda s, r: s.address(r, role="nobody"), "does not know this name with this password"),
    (lambda s, r: s.address("nowhere"), "has no such database or no such name"),
    (lambda s, r: s.address(s.empty()), "holds no record yet: have the one who keeps it run"),
    (lambda s, r: "postgresql://[", "DIAG_STORE is no address of a server: give one like"),
    (lambda s, r: "postgresql://", "DIAG_STORE names no database, or no port that there is"),
    (lambda s, r: "postgresql://x@y:99999/z", "DIAG_STORE names no database, or no port that"),
]


@pytest.mark.parametrize(("address", "told"), DOORS, ids=range(len(DOORS)))
def test_what_a_server_refuses_is_one_sentence(
    address: Callable[[Server, str], str], told: str, server: Server, record: str, tmp_path: Path
) -> None:
    """A refusal is told in one sentence with no password in it, and no file is begun instead."""
    with pytest.raises(StoreError) as refused:
        at(address(server, record), a_bench(tmp_path))
    assert told in str(refused.value)
    assert "\n" not in str(refused.value)
    assert "invented" not in str(refused.value)
    assert [] == list(tmp_path.iterdir())


def test_a_server_that_is_away_is_told_and_the_bench_goes_on(tmp_path: Path) -> None:
    """With no server at the address the bench says so, and keeps what is done in its own file."""
    told = Told()
    with closing(at("postgresql:///record?host=/nowhere", a_bench(tmp_path, told))) as store:
        session = store.create({})
        store.append(session, "noted", {"n": 1})
    assert [
        "the shared record at `record` on `/nowhere` is out of reach: No such file or directory. "
        f"What is done now is kept in `{tmp_path / 'apart.db'}` on this bench, nothing is lost, "
        "and it goes into the shared record at the next start that reaches it; what lies there can "
        "be read again then."
    ] == told
    with closing(Store(tmp_path / "apart.db")) as own:
        assert [1] == texts(own, session)


def test_another_programs_tables_are_refused(server: Server) -> None:
    """A database with another program's tables is refused, and nothing is made in it."""
    name = server.empty()
    with server.connection(name) as keeper:
        keeper.execute("create table recipes (name text)")
        with pytest.raises(StoreError, match="holds tables of another program: name an empty"):
            prepare(keeper, name)
        found = keeper.execute(
            "select table_name from information_schema.tables where table_schema = 'public'"
        ).fetchall()
    assert [("recipes",)] == found


def more(connection: sqlite3.Connection) -> None:
    connection.execute("alter table events add column weather text not null default ''")


def fails(connection: sqlite3.Connection) -> None:
    connection.execute("create table none of this")


def test_old_benches_write_while_the_schema_is_brought_up(server: Server, record: str) -> None:
    """A step that only adds leaves benches of the step before writing, those at work and new."""
    at_work = opened(server.address(record))
    session = at_work.create({})
    at_work.append(session, "noted", {"n": 1})
    with server.connection(record) as keeper:
        assert 1 == prepare(keeper, record, (*MIGRATIONS, more))
    at_work.append(session, "noted", {"n": 2})
    later = opened(server.address(record))
    later.append(session, "noted", {"n": 3})
    assert [1, 2, 3] == texts(later, session) == texts(at_work, session)


def test_a_newer_schema_is_refused_untouched(server: Server, record: str, tmp_path: Path) -> None:
    """Where today's tables are no longer for this version, it says so and writes nowhere."""
    newer = len(MIGRATIONS) + 1
    with server.connection(record) as keeper:
        prepare(keeper, record, (*MIGRATIONS, more), newer)
    with pytest.raises(StoreError) as refused:
        at(server.address(record), a_bench(tmp_path))
    assert (
        f"the record of `{record}` on `{server.folder}` was changed by a newer version (its format "
        f"is {newer}, this version knows up to {newer - 1}): update this program"
    ) == str(refused.value)
    with server.connection(record) as keeper, pytest.raises(StoreError, match="newer version"):
        prepare(keeper, record)
    assert [] == list(tmp_path.iterdir())


def test_an_older_schema_waits_for_the_one_who_keeps_it(server: Server) -> None:
    """A bench does no steps itself: it says who does, and then goes on."""
    name = server.empty()
    with server.connection(name) as keeper:
        prepare(keeper, name, MIGRATIONS[:-1], OLDEST_WRITER - 1)
        keeper.execute(f"grant select on diag_schema to {BENCH}")
        with pytest.raises(StoreError, match=r"is of an earlier version .*: have the one who"):
            opened(server.address(name))
        assert 1 == prepare(keeper, name)
    opened(server.address(name, KEEPER)).create({})


def test_a_step_that_fails_leaves_the_server_as_it_was(server: Server, record: str) -> None:
    """Steps are all done or none is."""
    with server.connection(record) as keeper:
        with pytest.raises(psycopg.Error):
            prepare(keeper, record, (*MIGRATIONS, more, fails))
        assert (len(MIGRATIONS), OLDEST_WRITER) == keeper.execute(
            "select version, oldest from diag_schema"
        ).fetchone()
        columns = "select column_name from information_schema.columns where table_name = 'events'"
        assert ("weather",) not in keeper.execute(columns).fetchall()


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL], ids=["stopped", "killed"])
def test_a_bench_cut_off_in_mid_session_loses_nothing(
    how: signal.Signals, own_server: Server, tmp_path: Path
) -> None:
    """What was answered before and after the server went is one session at its next start."""
    name, told = own_server.prepared(), Told()
    address = own_server.address(name)
    store = at(address, a_bench(tmp_path, told))
    job = a_job(store)
    session = store.create({"unit": "small 12 V"}, job)
    with store.lock(session):
        for number in range(3):
            store.append(session, "noted", {"n": number})
        own_server.stop(how)
        for number in range(3, 6):
            store.append(session, "noted", {"n": number})
        store.close_session(session, "proved")
    assert list(range(6)) == texts(store, session)
    store.close()
    assert [True] == ["nothing is lost, and it goes into the shared record" in one for one in told]
    own_server.start()
    told.clear()
    with closing(at(address, a_bench(tmp_path, told))) as again:
        assert list(range(6)) == texts(again, session)
        assert ("proved", job) == (again.session(session).outcome, again.session(session).job)
        assert 2 == len(Jobs(again, index_of).entries(job))
    assert [
        "Kept on this bench while the shared record was out of reach, and in it now: jobs and "
        "sessions without one, 1; nothing is lost."
    ] == told
    with closing(Store(tmp_path / "apart.db")) as own:
        assert ([], []) == all_names(own)


def test_a_server_that_stands_still_does_not_hold_a_bench_up(
    server: Server, record: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With its line whole and no answer on it, a bench goes on in its own file after seconds."""
    monkeypatch.setattr(at_server.ServerLine, "patience", 1.0)
    told = Told()
    store = at(server.address(record), a_bench(tmp_path, told))
    session = store.create({"unit": "small 12 V"})
    ((process,),) = store.rows("select pg_backend_pid()")
    with store.lock(session):
        store.append(session, "noted", {"n": 1})
        os.kill(process, signal.SIGSTOP)
        try:
            store.append(session, "noted", {"n": 2})
        finally:
            os.kill(process, signal.SIGCONT)
        assert [1, 2] == texts(store, session)
    store.close()
    assert [True] == ["is out of reach: it did not answer in time" in one for one in told]


class BreaksAfterwards:
    """A server whose line breaks as soon as the next transaction is on its disk."""

    fills = False

    def __init__(self, server: ServerDatabase) -> None:
        self._server, self.name = server, server.name
        self.breaks = False

    @contextmanager
    def transaction(self) -> Iterator[Any]:
        with self._server.transaction() as connection:
            yield connection
        if self.breaks:
            raise OutOfReach("the line broke")

    def rows(self, query: str, values: Any) -> list[Any]:
        return self._server.rows(query, values)

    def hold(self, what: str, name: str) -> Any:
        return self._server.hold(what, name)

    def close(self) -> None:
        self._server.close()


def test_what_was_on_its_way_is_there_once(server: Server, record: str, tmp_path: Path) -> None:
    """An answer that the server had kept when the line broke is in the record once, not twice."""
    line = BreaksAfterwards(ServerDatabase(server.address(record)))
    as_database: Database = line
    ticks = iter(range(100))
    bench = replace(a_bench(tmp_path), now=lambda: f"t{next(ticks):02}")
    store = SharedStore(as_database, bench)
    session = store.create({})
    with store.lock(session):
        store.append(session, "noted", {"n": 1})
        line.breaks = True
        store.append(session, "noted", {"n": 2})
        store.append(session, "noted", {"n": 3})
    store.close()
    told = Told()
    with closing(at(server.address(record), a_bench(tmp_path, told))) as again:
        assert [1, 2, 3] == texts(again, session)
        assert [session] == [row.id for row in again.sessions()]
    assert 1 == len(told)


def test_a_session_gone_on_with_by_another_bench_meanwhile(
    server: Server, record: str, tmp_path: Path
) -> None:
    """Where another bench went on with it meanwhile both are kept, and it is said."""
    line = BreaksAfterwards(ServerDatabase(server.address(record)))
    store = SharedStore(line, a_bench(tmp_path))
    session = store.create({})
    with store.lock(session):
        store.append(session, "noted", {"n": 1})
        line.breaks = True
        store.append(session, "noted", {"n": 2})
        other = opened(server.address(record))
        with other.lock(session):
            other.append(session, "noted", {"n": "other"})
        store.append(session, "noted", {"n": 3})
    store.close()
    told = Told()
    with closing(at(server.address(record), a_bench(tmp_path, told))) as again:
        ends = {row.id: texts(again, row.id) for row in again.sessions()}
    assert [1, 2, "other"] == ends.pop(session)
    assert [[1, 2, 3]] == list(ends.values())
    assert f"session `{session}` was gone on with at two benches: both are kept" in told[0]


def test_a_window_that_still_writes_keeps_its_file(own_server: Server, tmp_path: Path) -> None:
    """A second window that reaches the server merges what there is, and the first loses nothing."""
    address = own_server.address(own_server.prepared())
    store = at(address, a_bench(tmp_path))
    session = store.create({})
    with store.lock(session):
        store.append(session, "noted", {"n": 1})
        own_server.stop()
        store.append(session, "noted", {"n": 2})
        own_server.start()
        told = Told()
        with closing(at(address, a_bench(tmp_path, told))) as second:
            assert [1, 2] == texts(second, session)
        assert "Sessions that a window still writes to: 1; they go in" in told[-1]
        store.append(session, "noted", {"n": 3})
    store.close()
    with closing(at(address, a_bench(tmp_path))) as last:
        assert [1, 2, 3] == texts(last, session)


def test_a_server_that_does_not_answer(
    server: Server, record: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An answer that a slow server does not take in time goes into the bench's own file."""
    monkeypatch.setattr(
        at_server, "_MANNERS", ("set statement_timeout = '300ms'", "set lock_timeout = '10s'")
    )
    told = Told()
    store = at(server.address(record), a_bench(tmp_path, told))
    session = store.create({})
    with store.lock(session), server.connection(record) as keeper, keeper.transaction():
        keeper.execute("lock table events in exclusive mode")
        store.append(session, "noted", {"n": 1})
    store.close()
    assert "is out of reach: it did not answer in time. What is done now is kept in" in told[0]
    with closing(at(server.address(record), a_bench(tmp_path, told))) as again:
        assert [1] == texts(again, session)


def test_a_bench_that_waits_for_another(
    server: Server, record: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bench that finds another writing for long says so, and writes once that is done."""
    monkeypatch.setattr(at_server, "_MANNERS", ("set lock_timeout = '200ms'",))
    first, second = (opened(server.address(record)) for _ in range(2))
    session = first.create({})
    with first.transaction(), pytest.raises(StoreError, match="written to by another bench: wait"):
        second.append(session, "noted", {"n": 1})
    second.append(session, "noted", {"n": 2})
    assert [2] == texts(first, session)


def test_benches_that_write_at_once_lose_nothing(server: Server, record: str) -> None:
    """Four benches that write to one job and to a session each, all at once, all get it written."""
    job = a_job(opened(server.address(record)))

    def work(bench: int) -> str:
        with closing(opened(server.address(record))) as store:
            session = store.create({"bench": str(bench)}, job)
            for number in range(10):
                store.append(session, "noted", {"n": number})
                Jobs(store, index_of).append(job, *entry_as_data(Remarked(f"{bench} {number}")))
            return session

    with ThreadPoolExecutor(4) as at_once:
        sessions = list(at_once.map(work, range(4)))
    store = opened(server.address(record))
    assert [list(range(10))] * 4 == [texts(store, session) for session in sessions]
    entries = Jobs(store, index_of).entries(job)
    assert list(range(1, 43)) == [entry.number for entry in entries]
    assert {f"{bench} {number}" for bench in range(4) for number in range(10)} == {
        entry.payload["text"] for entry in entries[2:]
    }
    assert set(sessions) == {row.id for row in Jobs(store, index_of).sessions(job)}


def test_names_stay_at_the_bench(server: Server, record: str, tmp_path: Path) -> None:
    """Where a bench keeps people out of the shared record, no row of it holds a typed name."""
    bench = replace(
        a_bench(tmp_path),
        entry_kept=entry_without_people,
        event_kept=event_without_people,
    )
    store = at(server.address(record), bench)
    job = a_job(store)
    session = store.create({}, job)
    store.append(session, "noted", {"text": "A. Body was here", "when": ""})
    with closing(Store(tmp_path / "mine.db")) as mine:
        a_job(mine)
        Incoming(store, Jobs(store, index_of)).take(bundles(mine, *all_names(mine)))
    with server.connection(record) as keeper:
        held = [
            repr(keeper.execute(f"select * from {table}").fetchall())
            for table in ("jobs", "job_entries", "sessions", "events")
        ]
    assert [] == [rows for rows in held if "Body" in rows or "bus 3" in rows]
    assert "LIB-03" in held[0]
