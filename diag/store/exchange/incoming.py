"""Bundles taken into a store: what is new is added, what is known changes nothing."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import ExitStack
from hashlib import sha256

from diag.store.errors import StoreError
from diag.store.exchange.bundle import Bundle, JobBundle, SessionBundle
from diag.store.exchange.outgoing import copies_of, sessions_of, stored_entries
from diag.store.exchange.union import entry_under, maximal, said_by, session_under
from diag.store.jobs import JobEntry, Jobs
from diag.store.sessions import Store


class Incoming:
    """What came in: counts of jobs and sessions, and sentences on what people should know."""

    def __init__(self, store: Store, jobs: Jobs) -> None:
        """Take bundles into a store, whose jobs are found as `jobs` says."""
        self._store, self._jobs = store, jobs
        self.new = self.grown = self.known = 0
        self.said: list[str] = []
        self._used = 0

    def take(self, bundles: Iterable[Bundle]) -> None:
        """Take bundles in, all of them or none; `StoreError` when the store refuses.

        A session that is open in a window stays as it is there, and is said.
        """
        with ExitStack() as holds, self._store.transaction():
            self._holds = holds
            ((self._used,),) = self._store.rows("select coalesce(max(used), 0) from sessions")
            for bundle in bundles:
                if isinstance(bundle, JobBundle):
                    new, grown = self._job(bundle)
                else:
                    copies = copies_of(self._store, bundle.uid)
                    new, grown = not copies, self._sessions(None, copies, [bundle])
                self.new += new
                self.grown += grown and not new
                self.known += not (new or grown)

    def _job(self, bundle: JobBundle) -> tuple[bool, bool]:
        """Take in a job; return whether it is new here, and whether anything came of it."""
        rows = self._store.rows("select id, opened from jobs where uid = ?", (bundle.uid,))
        job = rows[0][0] if rows else self._begin(bundle)
        if rows and bundle.opened < rows[0][1]:
            self._store.rows("update jobs set opened = ? where id = ?", (bundle.opened, job))
        grown = self._entries(job, bundle.entries, known=bool(rows))
        local: dict[str, list[SessionBundle]] = {}
        came: dict[str, list[SessionBundle]] = {}
        for session in sessions_of(self._store, job) if rows else ():
            local.setdefault(session.uid, []).append(session)
        for session in bundle.sessions:
            came.setdefault(session.uid, []).append(session)
        for uid, copies in came.items():
            grown |= self._sessions(job, local.get(uid, []), copies)
        return not rows, grown

    def _begin(self, bundle: JobBundle) -> str:
        job = self._free("jobs", bundle.id, "job")
        self._store.rows(
            "insert into jobs (id, uid, opened, tag, serial, title, words, used) "
            "values (?, ?, ?, '', '', '', '', 0)",
            (job, bundle.uid, bundle.opened),
        )
        return job

    def _free(self, table: str, name: str, what: str) -> str:
        """Return the id that something has elsewhere, or a fresh one where it is taken here."""
        if not self._store.rows(f"select 1 from {table} where id = ?", (name,)):
            return name
        fresh = self._store.fresh_id(table)
        self.said.append(f"`{name}` is another {what} here: the one that came in is `{fresh}`")
        return fresh

    def _entries(self, job: str, came: Iterable[JobEntry], *, known: bool) -> bool:
        """Add what is said nowhere yet; return whether there was any."""
        stored = stored_entries(self._store, job) if known else []
        has = {said_by(entry) for _, entry in stored}
        fresh = [entry for entry in came if said_by(entry) not in has]
        uids = {entry.uid for entry in fresh}
        changed = False
        for uid in sorted(uids):
            local = {said_by(entry): (at, entry) for at, entry in stored if entry.uid == uid}
            copies = [entry for _, entry in local.values()]
            kept = maximal([*copies, *(one for one in fresh if one.uid == uid)], entry_under)
            if len(kept) > 1:
                self.said.append(
                    f"an entry of job `{job}` came with another content under the same number: "
                    "both are kept"
                )
            for entry in kept:
                if said_by(entry) not in local:
                    changed |= self._entry(job, entry, list(local.values()))
        if changed or not known:
            self._jobs.index(job, self._jobs.entries(job))
        return changed

    def _entry(self, job: str, entry: JobEntry, local: list[tuple[str, JobEntry]]) -> bool:
        text = json.dumps(dict(entry.payload))
        for uid, less in local:
            if entry_under(less, entry):
                if self._store.database.fills:
                    self._store.rows(
                        "update job_entries set payload = ? "
                        "where job = ? and number = ? and uid = ?",
                        (text, job, entry.number, uid),
                    )
                return self._store.database.fills
        taken = {uid for uid, _ in stored_entries(self._store, job)} if local else set()
        uid = entry.uid
        if uid in taken:
            uid = f"{uid}~{sha256(said_by(entry).encode()).hexdigest()[:16]}"
        self._store.rows(
            "insert into job_entries (job, number, uid, at, kind, payload) "
            "values (?, ?, ?, ?, ?, ?)",
            (job, entry.number, uid, entry.at, entry.kind, text),
        )
        return True

    def _sessions(
        self, job: str | None, local: list[SessionBundle], came: list[SessionBundle]
    ) -> bool:
        """Take in copies of one session; return whether anything came of it."""
        has, changed = {said_by(one) for one in local}, False
        free = [one for one in local]
        for copy in maximal([*local, *came], session_under):
            if said_by(copy) in has:
                free = [one for one in free if said_by(one) != said_by(copy)]
                continue
            host = next((one for one in free if session_under(one, copy)), None)
            if host is None:
                self._new_session(job, copy, beside=local)
                local = [*local, copy]
                changed = True
            else:
                free.remove(host)
                changed |= self._grow(host, copy)
        for less in free:
            changed |= self._drop(less)
        return changed

    def _new_session(
        self, job: str | None, copy: SessionBundle, *, beside: list[SessionBundle]
    ) -> None:
        name = (
            self._free("sessions", copy.id, "session")
            if not beside
            else (self._store.fresh_id("sessions"))
        )
        if beside:
            self.said.append(
                f"session `{beside[0].id}` was gone on with at two benches: what came in is kept "
                f"beside it as session `{name}`"
            )
        self._used += 1
        self._store.rows(
            "insert into sessions (id, started, header, outcome, used, uid, job, place) "
            "values (?, ?, ?, ?, ?, ?, ?, ?)",
            (name, copy.started, json.dumps(dict(copy.header)), copy.outcome, self._used, copy.uid,
             job, copy.place),
        )  # fmt: skip
        self._events(name, copy, 0)

    def _events(self, session: str, copy: SessionBundle, after: int) -> None:
        with_payload = [
            (session, one.number, one.at, one.kind, json.dumps(dict(one.payload)))
            for one in copy.events[after:]
        ]
        for row in with_payload:
            self._store.rows(
                "insert into events (session, number, at, kind, payload) values (?, ?, ?, ?, ?)",
                row,
            )

    def _grow(self, host: SessionBundle, copy: SessionBundle) -> bool:
        """Let a session go on as a longer copy of it does, unless a window holds it."""
        try:
            self._holds.enter_context(self._store.database.hold("session", host.id))
        except StoreError:
            self.said.append(
                f"session `{host.id}` is open in a window: it is left as it is there; close it "
                "and take this in again"
            )
            return False
        fuller = [
            (json.dumps(dict(more.payload)), host.id, more.number)
            for less, more in zip(host.events, copy.events, strict=False)
            if less != more
        ]
        if self._store.database.fills:
            for row in fuller:
                self._store.rows(
                    "update events set payload = ? where session = ? and number = ?", row
                )
            self._store.rows(
                "update sessions set header = ? where id = ?",
                (json.dumps(dict(copy.header)), host.id),
            )
        self._events(host.id, copy, len(host.events))
        self._store.rows("update sessions set outcome = ? where id = ?", (copy.outcome, host.id))
        return True

    def _drop(self, less: SessionBundle) -> bool:
        """Drop a session of which another is the whole, where the store lets go of anything."""
        if not self._store.database.fills:
            return False
        self._store.rows("delete from events where session = ?", (less.id,))
        self._store.rows("delete from sessions where id = ?", (less.id,))
        return True
