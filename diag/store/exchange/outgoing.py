"""Jobs and sessions of a store as bundles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diag.store.exchange.bundle import Bundle, JobBundle, SessionBundle
from diag.store.exchange.union import said_by
from diag.store.jobs import JobEntry, bare_uid, place_of
from diag.store.sessions import Store, StoredEvent, held

_SESSIONS = (
    "select s.id, s.uid, s.place, s.started, s.header, s.outcome, j.uid "
    "from sessions s left join jobs j on j.id = s.job"
)


def job_bundle(store: Store, job: str) -> JobBundle:
    """Return a job by its id, with all that belongs to it."""
    ((uid, opened),) = store.rows("select uid, opened from jobs where id = ?", (job,))
    entries = [entry for _, entry in stored_entries(store, job)]
    sessions = _sessions(store, "where s.job = ?", job)
    sessions.sort(key=lambda one: (one.place, one.uid, said_by(one)))
    return JobBundle(str(uid), job, str(opened), tuple(entries), tuple(sessions))


def session_bundle(store: Store, session: str) -> SessionBundle:
    """Return a session by its id."""
    (found,) = _sessions(store, "where s.id = ?", session)
    return found


def stored_entries(store: Store, job: str) -> list[tuple[str, JobEntry]]:
    """Return the entries of a job in order, each with the uid under which it is stored.

    One whose number is damaged is not among them.
    """
    rows = store.rows(
        "select number, uid, kind, payload, at from job_entries where job = ?", (job,)
    )
    found = [
        (str(uid), JobEntry(number, bare_uid(str(uid)), str(kind), held(text), str(at)))
        for number, uid, kind, text, at in rows
        if isinstance(number, int)
    ]
    return sorted(found, key=lambda one: place_of(one[1]))


def copies_of(store: Store, uid: str) -> list[SessionBundle]:
    """Return the sessions that have a uid: more than one where they have parted."""
    return _sessions(store, "where s.uid = ?", uid)


def _sessions(store: Store, where: str, value: str) -> list[SessionBundle]:
    return [
        SessionBundle(
            str(uid), str(name), place, str(started), held(header), outcome,
            tuple(_events(store, name)), job,
        )
        for name, uid, place, started, header, outcome, job in store.rows(
            f"{_SESSIONS} {where} order by s.id", (value,)
        )
    ]  # fmt: skip


def _events(store: Store, session: str) -> Iterator[StoredEvent]:
    rows = store.rows(
        "select number, kind, payload, at from events where session = ? order by number",
        (session,),
    )
    for number, kind, text, at in rows:
        if isinstance(number, int):
            yield StoredEvent(number, str(kind), held(text), str(at))


def all_names(store: Store) -> tuple[list[str], list[str]]:
    """Return the ids of all jobs, and of all sessions that belong to none, by their uids."""
    jobs = store.rows("select id from jobs order by uid")
    loose = store.rows("select id from sessions where job is null order by uid, id")
    return [name for (name,) in jobs], [name for (name,) in loose]


def bundles(store: Store, jobs: Iterable[str], loose: Iterable[str] = ()) -> Iterator[Bundle]:
    """Yield jobs, and sessions that belong to none, by their ids."""
    for job in jobs:
        yield job_bundle(store, job)
    for session in loose:
        yield session_bundle(store, session)
