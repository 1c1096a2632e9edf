"""The store: create a session, append events to it, and read them back in order."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from diag.model.frozen import frozen
from diag.store.database import Cell, Connection, Database, Holding
from diag.store.errors import StoreError
from diag.store.file import RecordFile
from diag.store.sums import sum_of

LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that is taken for another when read aloud
ID_LENGTH = 7


@frozen
class StoredEvent:
    """One thing that happened in a session, numbered from 1."""

    number: int
    kind: str
    payload: Mapping[str, Any]
    at: str


@frozen
class SessionRow:
    """A session as a list shows it; `outcome` is None while it is open."""

    id: str
    started: str
    header: Mapping[str, str]
    outcome: str | None
    events: int
    last: str
    job: str | None = None


def short_id() -> str:
    """Return a fresh id of seven letters and digits that can be read aloud."""
    import secrets  # it brings much along that a list of what is kept has no need of

    return "".join(secrets.choice(LETTERS) for _ in range(ID_LENGTH))


def fresh_uid() -> str:
    """Return 32 hexadecimal digits that no other bench draws."""
    import secrets

    return secrets.token_hex(16)


def utc_now() -> str:
    """Return the time in UTC to the second, as ISO 8601 writes it."""
    return datetime.now(UTC).isoformat(timespec="seconds")


class Store:
    """Sessions in one database; each call that writes is kept when it returns."""

    def __init__(
        self,
        where: Path | str | Database,
        now: Callable[[], str] = utc_now,
        new_id: Callable[[], str] = short_id,
    ) -> None:
        """Take a database, or open a file, made if need be; `StoreError` when it cannot be."""
        self.database: Database = (
            RecordFile(Path(where)) if isinstance(where, Path | str) else where
        )
        self.now, self.new_id = now, new_id

    @property
    def path(self) -> Path:
        """Return the file; `StoreError` where the record lies at a server."""
        return self._file.path

    def close(self) -> None:
        """Let the database go."""
        self.database.close()

    def copy_to(self, other: sqlite3.Connection) -> None:
        """Write all that is kept into another database, as it stands at one moment."""
        self._file.copy_to(other)

    def copy_from(self, other: sqlite3.Connection) -> None:
        """Put all that another database holds in the place of what is kept, whole or not at all."""
        self._file.copy_from(other)

    def settle(self) -> bool:
        """Take the file's log into it; return whether all of it could be, as nobody reads."""
        return self._file.settle()

    @property
    def in_file(self) -> bool:
        """Tell whether the record is a file of this bench."""
        return isinstance(self.database, RecordFile)

    @property
    def _file(self) -> RecordFile:
        if not isinstance(self.database, RecordFile):
            raise StoreError(
                f"the record of {self.database.name} is looked after by the one who keeps it: "
                "this is for a file"
            )
        return self.database

    def transaction(self) -> AbstractContextManager[Connection]:
        """Hold the record for writing: all that is done within is kept, or nothing is."""
        return self.database.transaction()

    def rows(self, query: str, values: Sequence[Cell] = ()) -> list[Any]:
        """Return what a query finds."""
        return self.database.rows(query, values)

    def fresh_id(self, table: str) -> str:
        """Return an id that no row of a table has yet."""
        while True:
            made = self.new_id()
            if not self.rows(f"select 1 from {table} where id = ?", (made,)):
                return made

    def id_as_elsewhere(self, table: str, name: str) -> str:
        """Return the id that a row has at another bench, or a fresh one where it is taken here."""
        taken = self.rows(f"select 1 from {table} where id = ?", (name,))
        return self.fresh_id(table) if taken else name

    def create(self, header: Mapping[str, str], job: str | None = None) -> str:
        """Begin a session, of a job where one is named, and return its id."""
        with self.transaction() as connection:
            session, uid, started = self.fresh_id("sessions"), fresh_uid(), self.now()
            text = json.dumps(dict(header))
            connection.execute(
                "insert into sessions (id, started, header, uid, job, sum, place) "
                "values (?, ?, ?, ?, ?, ?, "
                "(select coalesce(max(place), 0) + 1 from sessions where job = ?))",
                (session, started, text, uid, job, sum_of(uid, started, text, None), job),
            )
            _use(connection, session)
        return session

    def give_to_job(self, session: str, job: str) -> None:
        """Make a session that has no job one of a job's."""
        with self.transaction() as connection:
            connection.execute(
                "update sessions set job = ?, place = (select coalesce(max(s.place), 0) + 1 "
                "from sessions s where s.job = ?) where id = ? and job is null",
                (job, job, session),
            )

    def append(self, session: str, kind: str, payload: Mapping[str, Any]) -> StoredEvent:
        """Add an event to an open session; it is on the disk when this returns.

        `payload` must be made of what JSON holds (`ValueError` or `TypeError` otherwise, nothing
        written). Raises `StoreError` for a session that is unknown or closed, and when the disk
        refuses.
        """
        text = json.dumps(dict(payload), allow_nan=False)
        with self.transaction() as connection:
            self._open_row(session)
            (last,) = connection.execute(
                "select coalesce(max(number), 0) from events where session = ?", (session,)
            ).fetchone()
            event = StoredEvent(last + 1, kind, json.loads(text), self.now())
            event = self.put(session, event)
            _use(connection, session)
        return event

    def put(self, session: str, event: StoredEvent) -> StoredEvent:
        """Write an event into a session's rows, within a transaction; return what is kept of it."""
        kept = dict(self.event_kept(event.kind, event.payload))
        row = (event.number, event.at, event.kind, json.dumps(kept))
        self.rows(
            "insert into events (session, number, at, kind, payload, sum) "
            "values (?, ?, ?, ?, ?, ?)",
            (session, *row, sum_of(*row)),
        )
        return replace(event, payload=kept)

    def event_kept(self, kind: str, payload: Mapping[str, Any]) -> Mapping[str, Any]:
        """Return what is kept here of an event of a session: all of it."""
        return payload

    def entry_kept(self, kind: str, payload: Mapping[str, Any]) -> Mapping[str, Any]:
        """Return what is kept here of an entry of a job: all of it."""
        return payload

    def events(self, session: str) -> tuple[StoredEvent, ...]:
        """Return a session's events in the order in which they were appended.

        One whose text is damaged comes with nothing in it; one that is gone leaves its number out.
        """
        self.session(session)
        rows = self.rows(
            "select number, kind, payload, at from events where session = ? order by number",
            (session,),
        )
        return tuple(
            StoredEvent(number, str(kind), held(text), str(at)) for number, kind, text, at in rows
        )

    def sessions(self, open_only: bool = False, most: int | None = None) -> tuple[SessionRow, ...]:
        """Return the sessions, the one last worked on first, whatever the clock said."""
        where = "where outcome is null" if open_only else ""
        few = f"select id from sessions {where} order by used desc limit ?"
        return self._rows(
            f"where s.id in ({few}) group by s.id order by s.used desc",
            (-1 if most is None else most,),
        )

    def session(self, session: str) -> SessionRow:
        """Return one session; `StoreError` naming the latest open ones when it is unknown."""
        row = self._row(session)
        if row is None:
            ids = [f"`{each.id}`" for each in self.sessions(open_only=True)[:3]]
            known = f"open ones are {', '.join(ids)}" if ids else "none is open"
            raise StoreError(f"there is no session `{session}`: {known}")
        return row

    def close_session(self, session: str, outcome: str) -> None:
        """End an open session with its outcome; it takes no more events."""
        with self.transaction() as connection:
            self._open_row(session)
            row = connection.execute(
                "select uid, started, header from sessions where id = ?", (session,)
            ).fetchone()
            connection.execute(
                "update sessions set outcome = ?, sum = ? where id = ?",
                (outcome, sum_of(*row, outcome), session),
            )

    def lock(self, session: str) -> Holding:
        """Hold a session for this process: use it in a `with`, or release it.

        Raises `StoreError` when another process holds it. The operating system drops the lock
        when the process ends, so a killed one never leaves a session locked.
        """
        self.session(session)
        return self.database.hold("session", session)

    def lock_file(self, session: str) -> Path:
        """Return the file by whose lock a session is held."""
        return self._file.lock_file("session", session)

    def _row(self, session: str) -> SessionRow | None:
        rows = self._rows("where s.id = ? group by s.id", (session,))
        return rows[0] if rows else None

    def _open_row(self, session: str) -> SessionRow:
        row = self.session(session)
        if row.outcome is not None:
            raise StoreError(f"session `{session}` is closed ({row.outcome}): begin a new one")
        return row

    def _rows(self, clauses: str, values: tuple[str | int, ...]) -> tuple[SessionRow, ...]:
        rows = self.rows(
            "select s.id, s.started, s.header, s.outcome, count(e.number), "
            "coalesce(max(e.at), s.started) as last, s.job from sessions s "
            f"left join events e on e.session = s.id {clauses}",
            values,
        )
        return tuple(
            SessionRow(name, started, held(header), outcome, count, last, job)
            for name, started, header, outcome, count, last, job in rows
        )


def _use(connection: Connection, session: str) -> None:
    """Make a session the one that was used last."""
    connection.execute(
        "update sessions set used = (select max(used) from sessions) + 1 where id = ?", (session,)
    )


def held(text: object) -> dict[str, Any]:
    """Return what a stored text holds; nothing where it is damaged."""
    try:
        held = json.loads(str(text))
    except (ValueError, RecursionError):
        return {}
    return held if isinstance(held, dict) else {}
