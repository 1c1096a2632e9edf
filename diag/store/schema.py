"""The tables, as numbered steps from an empty file to today's; a step once released never changes.

A file says with `application_id` that it is ours and with `user_version` how many steps it has
had.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from diag.store.errors import DAMAGED, StoreError
from diag.store.sums import sum_of

APPLICATION_ID = 0x64696167
READ_THROUGH = 1 << 22
"""Bytes of a file that is read through each time it is opened: some hundreds of sessions."""

Migration = Callable[[sqlite3.Connection], None]


def m001_sessions_and_events(connection: sqlite3.Connection) -> None:
    """Keep sessions, and their events in the order of arrival."""
    connection.execute(
        "create table sessions (id text primary key, started text not null, "
        "header text not null, outcome text)"
    )
    connection.execute(
        "create table events (session text not null references sessions(id), "
        "number integer not null, at text not null, kind text not null, "
        "payload text not null, primary key (session, number)) without rowid"
    )


def m002_order_of_use(connection: sqlite3.Connection) -> None:
    """Count the uses of sessions: a clock that was set back must not change which was the latest.

    What was kept before has only its clock to go by.
    """
    connection.execute("alter table sessions add column used integer not null default 0")
    connection.execute(
        "update sessions set used = (select place from (select s.id as name, row_number() over "
        "(order by coalesce((select max(at) from events where session = s.id), s.started), "
        "s.rowid) as place from sessions s) where name = sessions.id)"
    )


def m003_drills(connection: sqlite3.Connection) -> None:
    """Keep drills with what was done in each, in order, and the points that each gave.

    `rules` is the fingerprint of the rules that a drill was begun with, `ended` and `how` are null
    while it is open, `used` counts as for sessions.
    """
    connection.execute(
        "create table drills (id text primary key, begun text not null, level integer not null, "
        "unit text not null, fault text not null, seed integer not null, number integer not null, "
        "rules text not null, ended text, how text, used integer not null default 0)"
    )
    connection.execute(
        "create table drill_acts (drill text not null references drills(id), "
        "number integer not null, at text not null, kind text not null, "
        "payload text not null, primary key (drill, number)) without rowid"
    )
    connection.execute(
        "create table drill_marks (drill text not null references drills(id), "
        "family text not null, cause text not null, points real not null, at text not null, "
        "primary key (drill, family, cause)) without rowid"
    )


def m004_lessons(connection: sqlite3.Connection) -> None:
    """Keep each answer to a question of a lesson, in order, and the page on which each lesson is.

    `quality` is from 0 to 5. When an item is asked again follows from its answers and is not kept.
    """
    connection.execute(
        "create table lesson_answers (number integer primary key, item text not null, "
        "quality integer not null, at text not null)"
    )
    connection.execute(
        "create table lesson_pages (lesson text primary key, page integer not null, "
        "at text not null, finished text) without rowid"
    )


def m005_jobs(connection: sqlite3.Connection) -> None:
    """Keep jobs with their entries, which a union of any two records leaves whole.

    `uid` tells one job, entry or session from all others of all benches; `id` is what people type.
    Entries stand by `number`, one above the highest that the bench knew when it wrote, then `uid`.
    `tag`, `serial`, `title`, `words` and `outcome` follow from the entries and are here to be
    found by.
    """
    connection.execute(
        "create table jobs (id text primary key, uid text not null unique, opened text not null, "
        "tag text not null, serial text not null, title text not null, words text not null, "
        "outcome text, used integer not null)"
    )
    for name, column in (("use", "used"), ("tag", "tag"), ("serial", "serial")):
        connection.execute(f"create index jobs_by_{name} on jobs ({column})")
    connection.execute(
        "create table job_entries (job text not null references jobs(id) on update cascade, "
        "number integer not null, uid text not null, at text not null, kind text not null, "
        "payload text not null, primary key (job, number, uid)) without rowid"
    )
    connection.execute("alter table sessions add column uid text not null default ''")
    connection.execute("update sessions set uid = lower(hex(randomblob(16)))")
    connection.execute("alter table sessions add column job text references jobs(id)")
    connection.execute("create index sessions_by_job on sessions (job)")


SUMMED = {
    "events": ("number", "at", "kind", "payload"),
    "job_entries": ("number", "uid", "at", "kind", "payload"),
    "sessions": ("uid", "started", "header", "outcome"),
    "jobs": ("uid", "opened"),
}
"""Table to the columns whose `sum_of` stands in its column `sum`. Keys of rows are not among them:
another bench's record may take an id, and SQLite's own checks of keys find what was changed there.
"""


def m006_sums_and_ways_to_find(connection: sqlite3.Connection) -> None:
    """Keep a sum with each row of the record, and find jobs fast however many there are.

    Searches go through `jobs_by_words` alone, the latest first.
    """
    for table, columns in SUMMED.items():
        connection.execute(f"alter table {table} add column sum integer")
        connection.create_function("sum_of", len(columns), sum_of, deterministic=True)
        connection.execute(f"update {table} set sum = sum_of({', '.join(columns)})")
    for name in ("tag", "serial"):
        connection.execute(f"drop index jobs_by_{name}")
        connection.execute(f"create index jobs_by_{name} on jobs ({name} collate nocase, used)")
    connection.execute("create index jobs_open on jobs (used) where outcome is null")
    connection.execute("create index jobs_by_words on jobs (used, words)")
    connection.execute("drop index jobs_by_use")
    connection.execute("create index sessions_by_use on sessions (used)")


def m007_places_of_sessions(connection: sqlite3.Connection) -> None:
    """Keep each session's place among those of its job, which all benches' clocks leave alone.

    It is one above the highest that the bench knew when it began the session, then goes the uid.
    """
    connection.execute("alter table sessions add column place integer not null default 0")
    connection.execute(
        "update sessions set place = (select place from (select s.id as name, row_number() over "
        "(partition by s.job order by s.rowid) as place from sessions s) as places "
        "where name = sessions.id)"
    )
    connection.execute("create index sessions_by_uid on sessions (uid)")


OUTCOMES = """
create table summed (session text primary key references sessions(id)
    on update cascade on delete cascade, entries integer not null) without rowid;
create table outcomes (session text not null references sessions(id)
    on update cascade on delete cascade, number integer not null, at text not null,
    complaint text not null, unit text not null, cause text not null, share real not null,
    result text not null, primary key (session, number)) without rowid;
create index outcomes_by_complaint on outcomes (complaint, result, cause, unit);
create table seen (session text not null references sessions(id)
    on update cascade on delete cascade, cause text not null, sign text not null,
    state text not null, primary key (session, sign)) without rowid;
create index seen_by_cause on seen (cause, sign, state);
"""


def m008_outcomes(connection: sqlite3.Connection) -> None:
    """Keep what sessions of jobs came to, so that the whole record is counted at a glance.

    All of it follows from the journals and can be made anew. `summed` tells up to which entry of a
    session that was done; `seen` holds the signs read before a first repair.
    """
    for statement in filter(str.strip, OUTCOMES.split(";")):
        connection.execute(statement)


def m009_erased(connection: sqlite3.Connection) -> None:
    """Keep of each erased job and its sessions the uids, which say nothing of anybody.

    By them what comes in from elsewhere is known to have been erased here.
    """
    connection.execute("create table erased (uid text primary key) without rowid")


MIGRATIONS: tuple[Migration, ...] = (
    m001_sessions_and_events,
    m002_order_of_use,
    m003_drills,
    m004_lessons,
    m005_jobs,
    m006_sums_and_ways_to_find,
    m007_places_of_sessions,
    m008_outcomes,
    m009_erased,
)

OLDEST_WRITER = 7
"""The lowest number of steps whose programs may go on writing to tables of today, at a server that
many write to: raise it where a step does more than add."""


def number_of(connection: sqlite3.Connection, pragma: str) -> int:
    """Return what a pragma says in a number."""
    return int(connection.execute(f"pragma {pragma}").fetchone()[0])


def refuse_what_is_not_ours(
    connection: sqlite3.Connection, path: Path, known: int = len(MIGRATIONS)
) -> int:
    """Return how many steps the file has had; `StoreError` when it is strange or too new."""
    owner, version = number_of(connection, "application_id"), number_of(connection, "user_version")
    tables = connection.execute("select count(*) from sqlite_master").fetchone()[0]
    if owner != APPLICATION_ID and (owner or version or tables):
        raise StoreError(
            f"`{path}` is a database of another program: move it away, or name another data folder"
        )
    if version > known:
        raise StoreError(
            f"`{path}` was written by a newer version (its format is {version}, this version "
            f"knows up to {known}): update this program, or name another data folder"
        )
    return version


def is_cut_off(connection: sqlite3.Connection, path: Path) -> bool:
    """Tell whether a file ends in the middle of a page, which SQLite takes as one of nothing.

    Where a full disk ended the taking in of the log the log still holds that page.
    """
    log = path.with_name(f"{path.name}-wal")
    whole = path.stat().st_size % number_of(connection, "page_size") == 0
    return not whole and not (log.exists() and log.stat().st_size)


def refuse_damage(connection: sqlite3.Connection, path: Path) -> None:
    """Raise `StoreError` where the file is not sound: an answer kept in it might be lost later.

    A large file is not read through each time it is opened: what is read of it is looked at as it
    is read, and `faults_in` reads it all.
    """
    connection.execute("select count(*) from sqlite_master").fetchone()  # is it one at all?
    sound = not is_cut_off(connection, path)
    if sound and path.stat().st_size <= READ_THROUGH:
        sound = connection.execute("pragma integrity_check(1)").fetchone() == ("ok",)
    if not sound:
        raise StoreError(f"`{path}` {DAMAGED}")


def migrate(
    connection: sqlite3.Connection, path: Path, migrations: tuple[Migration, ...] = MIGRATIONS
) -> None:
    """Bring the file up to the last step, all in one transaction.

    Raises `StoreError` for another program's database or a newer format; the file is then left
    as it was.
    """
    if refuse_what_is_not_ours(connection, path, len(migrations)) == len(migrations):
        return
    connection.execute("begin immediate")
    try:
        # Read again: another process may have done the steps while this one waited.
        for step in migrations[refuse_what_is_not_ours(connection, path, len(migrations)) :]:
            step(connection)
        connection.execute(f"pragma application_id = {APPLICATION_ID}")
        connection.execute(f"pragma user_version = {len(migrations)}")
        connection.execute("commit")
    except BaseException:
        if connection.in_transaction:
            connection.execute("rollback")
        raise
