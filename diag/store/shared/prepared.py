"""The tables on a server: made and brought up to date by the one who keeps it, checked by all.

The steps are those of `schema`. A bench does none of them. `oldest` is the lowest step whose
benches may go on writing: steps that only add leave it, so that old benches write meanwhile.
"""

from __future__ import annotations

import sqlite3
from typing import Any, cast

import psycopg
from psycopg import sql

from diag.store.database import Cell
from diag.store.errors import StoreError
from diag.store.schema import MIGRATIONS, OLDEST_WRITER, Migration
from diag.store.shared.dialect import spoken

ADDED_TO = ("jobs", "job_entries", "sessions", "events")
"""The tables of the record: a bench may add rows and read them."""
READ = ("diag_schema", "erased")
"""Tables that a bench may only read."""
CHANGES = {
    "jobs": "opened, tag, serial, title, words, outcome, used, sum",
    "sessions": "outcome, used, job, place, sum",
}
"""Columns that follow from what is added, or say whose and how used a row is."""
LOCAL = ("drills", "drill_acts", "drill_marks", "lesson_answers", "lesson_pages")
"""Tables of one bench alone: nobody is let to them at a server."""


def refuse_another_schema(
    connection: psycopg.Connection[Any], name: str, known: int = len(MIGRATIONS)
) -> None:
    """Raise `StoreError` where the tables are not those that this version writes."""
    if (found := _version(connection)) is None:
        raise StoreError(
            f"{name} holds no record yet: have the one who keeps it run `diag jobs prepare`"
        )
    version, oldest = found
    if oldest > known:
        raise StoreError(
            f"the record of {name} was changed by a newer version (its format is {version}, this "
            f"version knows up to {known}): update this program"
        )
    if version < known:
        raise StoreError(
            f"the record of {name} is of an earlier version (its format is {version}, this "
            f"version writes {known}): have the one who keeps it run `diag jobs prepare`"
        )


def _version(connection: psycopg.Connection[Any]) -> tuple[int, int] | None:
    found = connection.execute("select to_regclass('diag_schema')").fetchone()
    if found is None or found[0] is None:
        return None
    row = connection.execute("select version, oldest from diag_schema").fetchone()
    return None if row is None else (int(row[0]), int(row[1]))


class _Steps:
    """A connection as the steps see it."""

    def __init__(self, connection: psycopg.Connection[Any], *, empty: bool) -> None:
        self._connection, self._empty = connection, empty

    def execute(self, query: str, values: tuple[Cell, ...] = ()) -> None:
        """Run a query of a step; in a record that is just made there is nothing to bring up."""
        if not (self._empty and query.startswith("update ")):
            self._connection.execute(spoken(query).encode(), values)

    def create_function(self, *_: Any, **__: Any) -> None:
        """Leave out a function of Python: what it would work out is brought up by benches."""


def prepare(
    connection: psycopg.Connection[Any],
    name: str,
    migrations: tuple[Migration, ...] = MIGRATIONS,
    oldest: int = OLDEST_WRITER,
) -> int:
    """Make the tables or bring them up to the last step; return how many steps were done.

    Benches that were let in before are let in to new tables, too. All of it is one transaction.
    `StoreError` for another program's tables or a newer format.
    """
    with connection.transaction():
        connection.execute("select pg_advisory_xact_lock(%s)", (0x64696168,))
        found = _version(connection)
        if found is None and _strange(connection):
            raise StoreError(f"{name} holds tables of another program: name an empty database")
        version = found[0] if found else 0
        if version > len(migrations):
            raise StoreError(
                f"the record of {name} was prepared by a newer version (its format is {version}, "
                f"this version knows up to {len(migrations)}): update this program"
            )
        if found is None:
            connection.execute(
                "create table diag_schema (version int not null, oldest int not null)"
            )
            connection.execute("insert into diag_schema values (0, 0)")
        steps = _Steps(connection, empty=version == 0)
        for step in migrations[version:]:
            step(cast(sqlite3.Connection, steps))
        connection.execute(
            "update diag_schema set version = %s, oldest = %s", (len(migrations), oldest)
        )
        for role in _admitted(connection):
            admit(connection, role)
    return len(migrations) - version


def _strange(connection: psycopg.Connection[Any]) -> bool:
    row = connection.execute(
        "select count(*) from information_schema.tables where table_schema = current_schema()"
    ).fetchone()
    return row is not None and row[0] > 0


def admit(connection: psycopg.Connection[Any], role: str) -> None:
    """Let a bench's role add and read, and neither erase nor change what was added."""
    who = sql.Identifier(role)
    with connection.transaction():
        for query in _grants(connection):
            connection.execute(sql.SQL(query + " to {}").format(who))


def _admitted(connection: psycopg.Connection[Any]) -> list[str]:
    """Return the roles that were let in before, by name."""
    rows = connection.execute(
        "select distinct pg_get_userbyid(granted.grantee) from pg_class c, aclexplode(c.relacl) "
        "granted where c.oid = to_regclass('sessions') and granted.privilege_type = 'INSERT' "
        "and granted.grantee not in (0, c.relowner) order by 1"
    ).fetchall()
    return [str(name) for (name,) in rows]


def _grants(connection: psycopg.Connection[Any]) -> list[Any]:
    found = connection.execute(
        "select table_name, current_schema() from information_schema.tables "
        "where table_schema = current_schema()"
    ).fetchall()
    (schema,) = {row[1] for row in found}
    derived = {row[0] for row in found} - {*ADDED_TO, *READ, *LOCAL}
    return [
        f'grant usage on schema "{schema}"',
        f"grant select on {', '.join(READ)}",
        f"grant select, insert on {', '.join(ADDED_TO)}",
        *(f"grant update ({columns}) on {table}" for table, columns in CHANGES.items()),
        *(f"grant select, insert, update, delete on {table}" for table in sorted(derived)),
    ]
