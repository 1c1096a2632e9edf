"""Jobs kept beside the sessions: entries that are only ever added, and a row to find each by."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from diag.model.frozen import frozen
from diag.store.database import Holding
from diag.store.errors import StoreError
from diag.store.sessions import SessionRow, Store, fresh_uid, held
from diag.store.sums import sum_of

_ROW = "select id, uid, opened, tag, serial, title, outcome from jobs"
PAGE = 50
MOST_TITLE, MOST_WORDS = 200, 100_000
"""So many characters of a title, and of the words that a search looks in, are kept in a row."""


@frozen
class JobEntry:
    """One thing written down about a job: `number` and `uid` order it, whatever the clocks say."""

    number: int
    uid: str
    kind: str
    payload: Mapping[str, Any]
    at: str


@frozen
class JobIndex:
    """What a job is found by: it follows from its entries."""

    tag: str = ""
    serial: str = ""
    title: str = ""
    words: str = ""
    """All that a search looks in, in small letters."""
    outcome: str | None = None
    """None while the job is open."""


@frozen
class JobRow:
    """A job as a list shows it."""

    id: str
    uid: str
    opened: str
    tag: str
    serial: str
    title: str
    outcome: str | None


def bare_uid(stored: str) -> str:
    """Return the uid of an entry; what came with another content has more behind it in the table.

    >>> bare_uid("0f3a~77")
    '0f3a'
    """
    return stored.partition("~")[0]


def place_of(entry: JobEntry) -> tuple[int, str, str]:
    """Return what entries are sorted by: the same at every bench."""
    return (
        entry.number,
        entry.uid,
        json.dumps([entry.at, entry.kind, entry.payload], sort_keys=True),
    )


def _storable(text: str, most: int) -> str:
    """Return so much of a text as a row holds, without what no database stores."""
    return text[:most].replace("\0", "").encode("utf-8", "replace").decode()


Indexed = Callable[[Sequence[JobEntry]], JobIndex]


class Jobs:
    """The jobs of a store. Each call that writes is on the disk when it returns.

    `indexed` says what a job is found by, from all its entries.
    """

    def __init__(self, store: Store, indexed: Indexed) -> None:
        """Take the jobs of a store."""
        self.store, self._indexed = store, indexed

    def open(self, kind: str, payload: Mapping[str, Any]) -> str:
        """Begin a job with its first entry; return its id."""
        with self.store.transaction():
            job = self.store.fresh_id("jobs")
            self.put_job(job, fresh_uid(), self.store.now())
            self._add(job, kind, payload)
        return job

    def append(self, job: str, kind: str, payload: Mapping[str, Any]) -> JobEntry:
        """Add an entry; `StoreError` for a job that is unknown.

        `payload` must be made of what JSON holds (`ValueError` or `TypeError` otherwise, nothing
        written).
        """
        with self.store.transaction():
            self.job(job)
            return self._add(job, kind, payload)

    def _add(self, job: str, kind: str, payload: Mapping[str, Any]) -> JobEntry:
        text = json.dumps(dict(payload), allow_nan=False)
        before = self.entries(job)
        number = max((one.number for one in before), default=0) + 1
        entry = JobEntry(number, fresh_uid(), kind, json.loads(text), self.store.now())
        entry = self.put(job, entry)
        self.index(job, [*before, entry])
        return entry

    def put(self, job: str, entry: JobEntry) -> JobEntry:
        """Write an entry into a job's rows, within a transaction; return what is kept of it."""
        kept = dict(self.store.entry_kept(entry.kind, entry.payload))
        row = (entry.number, entry.uid, entry.at, entry.kind, json.dumps(kept))
        self.store.rows(
            "insert into job_entries (job, number, uid, at, kind, payload, sum) "
            "values (?, ?, ?, ?, ?, ?, ?)",
            (job, *row, sum_of(*row)),
        )
        return replace(entry, payload=kept)

    def put_job(self, job: str, uid: str, opened: str) -> None:
        """Write the row of a job that has no entry yet, within a transaction."""
        self.store.rows(
            "insert into jobs (id, uid, opened, tag, serial, title, words, used, sum) "
            "values (?, ?, ?, '', '', '', '', 0, ?)",
            (job, uid, opened, sum_of(uid, opened)),
        )

    def index(self, job: str, entries: Sequence[JobEntry]) -> None:
        """Write what a job is found by, within a transaction, and make it the one used last."""
        self.store.rows(
            "update jobs set tag = ?, serial = ?, title = ?, words = ?, outcome = ?, "
            "used = (select max(used) from jobs) + 1 where id = ?",
            (*self._found_by(entries), job),
        )

    def _found_by(self, entries: Sequence[JobEntry]) -> tuple[str | None, ...]:
        """Return what a job is found by, so much of it as its row holds."""
        found = self._indexed(entries)
        told = (_storable(text, MOST_TITLE) for text in (found.tag, found.serial, found.title))
        outcome = found.outcome and _storable(found.outcome, MOST_TITLE)
        return (*told, _storable(found.words, MOST_WORDS), outcome)

    def entries(self, job: str) -> tuple[JobEntry, ...]:
        """Return what was written down, in order; what is damaged comes with nothing in it."""
        rows = self.store.rows(
            "select number, uid, kind, payload, at from job_entries where job = ? "
            "order by number, uid",
            (job,),
        )
        found = [
            JobEntry(number, bare_uid(str(uid)), str(kind), held(text), str(at))
            for number, uid, kind, text, at in rows
        ]
        if any("~" in str(row[1]) for row in rows):
            found.sort(key=place_of)
        return tuple(found)

    def job(self, job: str) -> JobRow:
        """Return one job; `StoreError` naming the latest when it is unknown."""
        rows = self.store.rows(f"{_ROW} where id = ?", (job,))
        if not rows:
            latest = ", ".join(f"`{one.id}`" for one in self.jobs(count=3))
            known = f"the latest are {latest}" if latest else "there is none yet"
            raise StoreError(f"there is no job `{job[:40]}`: {known}")
        return JobRow(*rows[0])

    def jobs(
        self,
        *,
        open_only: bool = False,
        of_unit: str = "",
        words: str = "",
        first: int = 0,
        count: int = PAGE,
    ) -> list[JobRow]:
        """Return a page of the jobs, the one last worked on first.

        `of_unit` is a tag or a serial, whatever its capitals; of `words`, parted by blanks, each
        must be in what a search looks in.
        """
        where, values = _wanted(open_only, of_unit, words)
        if words:  # the index alone holds what is searched, so that little is read
            inner = f"select rowid from jobs indexed by jobs_by_words {where}"
            where = f"where rowid in ({inner} order by used desc limit ? offset ?)"
            values, first, count = [*values, count, first], 0, count
        rows = self.store.rows(
            f"{_ROW} {where} order by used desc limit ? offset ?", (*values, count, first)
        )
        return [JobRow(*row) for row in rows]

    def count(self, *, open_only: bool = False, of_unit: str = "") -> int:
        """Return how many jobs there are."""
        where, values = _wanted(open_only, of_unit, "")
        return int(self.store.rows(f"select count(*) from jobs {where}", values)[0][0])

    def sessions(self, job: str) -> list[SessionRow]:
        """Return the sessions of a job, in the order in which they were begun."""
        rows = self.store.rows("select id from sessions where job = ? order by place, uid", (job,))
        return [self.store.session(name) for (name,) in rows]

    def latest_outcomes(self, jobs: Sequence[str]) -> Mapping[str, str | None]:
        """Return how the latest session of each job ended: None for one that goes on."""
        if not jobs:  # no server takes an empty list
            return {}
        marks = ", ".join("?" * len(jobs))
        rows = self.store.rows(
            f"select job, outcome from sessions where job in ({marks}) order by place, uid", jobs
        )
        return dict(rows)

    def is_misfiled(self, job: str, entries: Sequence[JobEntry]) -> bool:
        """Tell whether a job is found by something else than its entries say."""
        query = "select tag, serial, title, words, outcome from jobs where id = ?"
        said = self._found_by(entries)
        return [said] != [tuple(row) for row in self.store.rows(query, (job,))]

    def remove(self, job: str) -> list[str]:
        """Erase a job with its entries, its sessions and their events; return the sessions.

        Their uids stay, so that they are known when they come in again. Raises `StoreError`, and
        erases nothing, where a session of it is open in another window.
        What the disk still holds of it is for `sweep` to clear away.
        """
        self.job(job)
        held: list[Holding] = []
        try:
            with self.store.transaction() as connection:
                names = [row.id for row in self.sessions(job)]
                held.extend(self.store.lock(name) for name in names)
                uids = self.store.rows(
                    "select uid from jobs where id = ? union select uid from sessions "
                    "where job = ?",
                    (job, job),
                )
                connection.executemany(
                    "insert into erased (uid) values (?) on conflict do nothing", uids
                )
                for name in names:
                    connection.execute("delete from events where session = ?", (name,))
                for table, key in (("sessions", "job"), ("job_entries", "job"), ("jobs", "id")):
                    connection.execute(f"delete from {table} where {key} = ?", (job,))
        finally:
            for lock in held:
                lock.release()
        if self.store.in_file:  # nobody can wait for the lock of a session that is no more
            for name in names:
                self.store.lock_file(name).unlink(missing_ok=True)
        return names


def _wanted(open_only: bool, of_unit: str, words: str) -> tuple[str, list[str | int]]:
    """Return the clause, and its values, that finds the jobs which are asked for."""
    clauses = ["outcome is null"] if open_only else []
    values: list[str | int] = []
    if of_unit:
        clauses.append("(tag = ? collate nocase or serial = ? collate nocase)")
        values += [of_unit, of_unit]
    for word in words.lower().split():
        clauses.append("words like ? escape '|'")
        values.append("%" + "".join(f"|{each}" if each in "%_|" else each for each in word) + "%")
    return (f"where {' and '.join(clauses)}" if clauses else ""), values
