"""Jobs and sessions of a store as bundles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from operator import attrgetter

from diag.store.exchange.bundle import Bundle, JobBundle, SessionBundle
from diag.store.exchange.union import said_by
from diag.store.jobs import JobEntry, bare_uid, place_of
from diag.store.sessions import Store, StoredEvent, held

_SESSION = "select id, uid, place, started, header, outcome from sessions"


def job_bundle(store: Store, job: str) -> JobBundle:
    """Return a job by its id, with all that belongs to it."""
    ((uid, opened),) = store.rows("select uid, opened from jobs where id = ?", (job,))
    entries = [entry for _, entry in stored_entries(store, job)]
    sessions = sorted(sessions_of(store, job), key=lambda one: (one.place, one.uid, said_by(one)))
    return JobBundle(str(uid), job, str(opened), tuple(entries), tuple(sessions))


def stored_entries(store: Store, job: str) -> list[tuple[str, JobEntry]]:
    """Return the entries of a job in order, each with the uid under which it is stored."""
    rows = store.rows(
        "select number, uid, kind, payload, at from job_entries where job = ?", (job,)
    )
    found = [
        (str(uid), JobEntry(number, bare_uid(str(uid)), str(kind), held(text), str(at)))
        for number, uid, kind, text, at in rows
    ]
    return sorted(found, key=lambda one: place_of(one[1]))


def sessions_of(store: Store, job: str) -> list[SessionBundle]:
    """Return the sessions of a job."""
    return _sessions(store, "where job = ?", job)


def copies_of(store: Store, uid: str) -> list[SessionBundle]:
    """Return the sessions of no job that have a uid: more than one where they have parted."""
    return _sessions(store, "where uid = ? and job is null", uid)


def loose_session(store: Store, session: str) -> SessionBundle:
    """Return a session by its id as one that stands alone."""
    (found,) = _sessions(store, "where id = ?", session)
    return found


def _sessions(store: Store, where: str, value: str) -> list[SessionBundle]:
    return [
        SessionBundle(
            str(uid), str(name), place, str(started), held(header), outcome, _events(store, name)
        )
        for name, uid, place, started, header, outcome in store.rows(
            f"{_SESSION} {where}", (value,)
        )
    ]


def _events(store: Store, session: str) -> tuple[StoredEvent, ...]:
    rows = store.rows("select number, kind, payload, at from events where session = ?", (session,))
    found = (StoredEvent(number, str(kind), held(text), str(at)) for number, kind, text, at in rows)
    return tuple(sorted(found, key=attrgetter("number")))


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
        yield loose_session(store, session)
