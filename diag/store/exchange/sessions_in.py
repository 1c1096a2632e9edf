"""Sessions that come in: one that went on elsewhere goes on, one that parted is kept beside."""

from __future__ import annotations

import json
from collections.abc import Iterable
from contextlib import ExitStack

from diag.store.errors import HeldElsewhere
from diag.store.exchange.bundle import SessionBundle
from diag.store.exchange.outgoing import copies_of
from diag.store.exchange.union import maximal, said_by, session_under
from diag.store.sessions import Store
from diag.store.sums import sum_of


class SessionsIn:
    """Takes sessions in, within a transaction."""

    def __init__(self, store: Store, holds: ExitStack, said: list[str]) -> None:
        """Hold each session that grows until `holds` ends; `said` takes what is to be known.

        `left` are the uids of sessions that were not taken, since a window holds them.
        """
        self._store, self._holds, self._said = store, holds, said
        self._held: set[str] = set()
        self.left: set[str] = set()
        ((self._used,),) = store.rows("select coalesce(max(used), 0) from sessions")

    def take(self, came: Iterable[SessionBundle], *, job: str | None) -> tuple[bool, bool]:
        """Take in sessions of a job, by its id here.

        Return whether one is new here, and whether anything came of them.
        """
        by_uid: dict[str, list[SessionBundle]] = {}
        for session in came:
            by_uid.setdefault(session.uid, []).append(session)
        new = changed = False
        for uid, copies in by_uid.items():
            local = copies_of(self._store, uid)
            new |= not local
            changed |= self._copies(local, copies, job)
        return new, changed

    def _copies(
        self, local: list[SessionBundle], came: list[SessionBundle], job: str | None
    ) -> bool:
        """Keep of all copies of one session those that are the beginning of no other."""
        kept = maximal([*local, *came], session_under)
        whole = {said_by(one) for one in kept}
        less = [one for one in local if said_by(one) not in whole]
        has = {said_by(one) for one in local}
        changed = False
        for copy in kept:
            if said_by(copy) in has:
                continue
            host = next((one for one in less if session_under(one, copy)), None)
            if host is None:
                self._add(copy, job, beside=local[0].id if local else None)
                local, changed = [*local, copy], True
            else:
                less.remove(host)
                changed |= self._grow(host, copy, job)
        for one in less:
            changed |= self._drop(one)
        return changed

    def _add(self, copy: SessionBundle, job: str | None, beside: str | None) -> None:
        name = self._store.id_as_elsewhere("sessions", copy.id)
        if beside is not None:
            self._said.append(
                f"session `{beside}` was gone on with at two benches: both are kept, what came in "
                f"as session `{name}`"
            )
        elif name != copy.id:
            self._said.append(
                f"`{copy.id}` is another session here: the one that came in is `{name}`"
            )
        self._used += 1
        header = json.dumps(dict(copy.header))
        self._store.rows(
            "insert into sessions (id, started, header, outcome, used, uid, job, place, sum) "
            "values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                *(name, copy.started, header, copy.outcome, self._used, copy.uid, job, copy.place),
                sum_of(copy.uid, copy.started, header, copy.outcome),
            ),
        )
        for event in copy.events:
            self._store.put(name, event)

    def _grow(self, host: SessionBundle, copy: SessionBundle, job: str | None) -> bool:
        """Let a session go on as a longer copy of it does, unless a window holds it."""
        try:
            if host.id not in self._held:
                self._holds.enter_context(self._store.database.hold("session", host.id))
                self._held.add(host.id)
        except HeldElsewhere:
            self.left.add(host.uid)
            self._said.append(
                f"session `{host.id}` is open in a window and stays as it is there: close it and "
                "take this in again"
            )
            return False
        fills = self._store.database.fills
        if fills:
            self._fill(host, copy)
        for event in copy.events[len(host.events) :]:
            self._store.put(host.id, event)
        text = json.dumps(dict(copy.header if fills else host.header))
        self._store.rows(
            "update sessions set outcome = ?, job = ?, place = ?, sum = ? where id = ?",
            (
                *(copy.outcome, job, copy.place),
                *(sum_of(copy.uid, copy.started, text, copy.outcome), host.id),
            ),
        )
        before = (len(host.events), host.outcome, host.job)
        return fills or before != (len(copy.events), copy.outcome, copy.job)

    def _fill(self, host: SessionBundle, copy: SessionBundle) -> None:
        """Fill in what was withheld of a session."""
        self._store.rows(
            "update sessions set header = ? where id = ?", (json.dumps(dict(copy.header)), host.id)
        )
        for less, more in zip(host.events, copy.events, strict=False):
            if less != more:
                text = json.dumps(dict(more.payload))
                self._store.rows(
                    "update events set payload = ?, sum = ? where session = ? and number = ?",
                    (text, sum_of(more.number, more.at, more.kind, text), host.id, more.number),
                )

    def _drop(self, less: SessionBundle) -> bool:
        """Drop a session of which another is the whole, where the database lets go of anything."""
        if self._store.database.fills:
            self._store.rows("delete from events where session = ?", (less.id,))
            self._store.rows("delete from sessions where id = ?", (less.id,))
        return self._store.database.fills
