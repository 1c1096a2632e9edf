"""A bench of a fleet: it writes to the shared record, and to its own file while that is away."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import ExitStack, closing
from dataclasses import replace
from pathlib import Path
from typing import Any

from diag.model.frozen import frozen
from diag.store.database import Database, Holding
from diag.store.errors import HeldElsewhere, StoreError
from diag.store.exchange.bundle import Bundle, SessionBundle
from diag.store.exchange.incoming import Incoming
from diag.store.exchange.outgoing import all_names, bundles, job_bundle, session_bundle
from diag.store.file import RecordFile
from diag.store.jobs import Indexed, Jobs
from diag.store.sessions import Store, StoredEvent, utc_now
from diag.store.shared.refusals import OutOfReach

Kept = Callable[[str, Mapping[str, Any]], Mapping[str, Any]]
"""What is kept at the server of an entry or an event, from its kind and what it holds."""


@frozen
class OwnBench:
    """What a bench has of its own: files, and a way to tell people.

    `apart` is for when it is cut off; `own` is the record that it keeps without a server.
    """

    apart: Path
    own: Path
    indexed: Indexed
    tell: Callable[[str], None]
    entry_kept: Kept | None = None
    event_kept: Kept | None = None
    now: Callable[[], str] = utc_now


class SharedStore(Store):
    """The shared record, until the server is out of reach; from then on the bench's own file.

    What is written when the line breaks is written again to the file, with the same number and the
    same time: whether the server had it or not, it is there once after the merge.
    """

    def __init__(self, server: Database, bench: OwnBench) -> None:
        """Take a server that answers."""
        super().__init__(server, bench.now)
        self._bench = bench
        self._held: SessionBundle | None = None
        self._with: Bundle | None = None
        self._holds = ExitStack()

    def close(self) -> None:
        """Let both databases go."""
        self._holds.close()
        super().close()

    def entry_kept(self, kind: str, payload: Mapping[str, Any]) -> Mapping[str, Any]:
        """Return what is kept of an entry of a job."""
        kept = self._bench.entry_kept
        return payload if kept is None or self.in_file else kept(kind, payload)

    def event_kept(self, kind: str, payload: Mapping[str, Any]) -> Mapping[str, Any]:
        """Return what is kept of an event of a session."""
        kept = self._bench.event_kept
        return payload if kept is None or self.in_file else kept(kind, payload)

    def create(self, header: Mapping[str, str], job: str | None = None) -> str:
        """Begin a session; in the bench's own file where the server is out of reach."""
        try:
            return super().create(header, job)
        except OutOfReach as away:
            if job is not None:  # it is not known here
                raise
            self._go_apart(away)
            return super().create(header)

    def append(self, session: str, kind: str, payload: Mapping[str, Any]) -> StoredEvent:
        """Add an event; it is on a disk when this returns, the server's or the bench's."""
        moment = self._bench.now()
        self.now = lambda: moment
        try:
            try:
                event = super().append(session, kind, payload)
            except OutOfReach as away:
                self._go_apart(away)
                event = super().append(session, kind, payload)
        finally:
            self.now = self._bench.now
        if self._held is not None and self._held.id == session:
            self._held = replace(self._held, events=(*self._held.events, event))
        return event

    def close_session(self, session: str, outcome: str) -> None:
        """End an open session with its outcome; it takes no more events."""
        try:
            super().close_session(session, outcome)
        except OutOfReach as away:
            self._go_apart(away)
            super().close_session(session, outcome)

    def lock(self, session: str) -> Holding:
        """Hold a session for this bench, and know it well enough to go on with it alone."""
        held = super().lock(session)
        if not self.in_file:
            ((job,),) = self.rows("select job from sessions where id = ?", (session,))
            self._held = session_bundle(self, session)
            self._with = None if job is None else job_bundle(self, job)
        return held

    def _go_apart(self, away: OutOfReach) -> None:
        """Go on in the bench's own file with the session that is held."""
        own = RecordFile(self._bench.apart)
        server, self.database = self.database, own
        server.close()
        if (found := self._known()) is not None:
            Incoming(self, Jobs(self, self._bench.indexed)).take([found])
        if self._held is not None:
            self._holds.enter_context(own.hold("session", self._held.id))
        self._bench.tell(f"{away}. {going_on(self._bench.apart)}")

    def _known(self) -> Bundle | None:
        if self._held is None or self._with is None or isinstance(self._with, SessionBundle):
            return self._held
        others = (one for one in self._with.sessions if one.id != self._held.id)
        return replace(self._with, sessions=(*others, self._held))


def going_on(apart: Path) -> str:
    """Return the sentence on what is done without the server."""
    return (
        f"What is done now is kept in `{apart}` on this bench, nothing is lost, and it goes into "
        "the shared record at the next start that reaches it; what lies there can be read again "
        "then."
    )


def opened(server: Callable[[], Database], bench: OwnBench) -> Store:
    """Return the shared record with all that waited at this bench merged, or the bench's own file.

    Raises `StoreError` where the server refuses this bench.
    """
    try:
        store = SharedStore(server(), bench)
    except OutOfReach as away:
        bench.tell(f"{away}. {going_on(bench.apart)}")
        return Store(bench.apart, bench.now)
    try:
        for said in merged(store, bench):
            bench.tell(said)
    except OutOfReach as away:
        store.close()
        bench.tell(f"{away}. {going_on(bench.apart)}")
        return Store(bench.apart, bench.now)
    except StoreError:
        store.close()
        raise
    return store


def waits_at(bench: OwnBench) -> bool:
    """Tell whether anything waits in a bench's own file for the shared record."""
    if not bench.apart.exists():
        return False
    with closing(Store(bench.apart)) as own:
        return all_names(own) != ([], [])


def merged(store: Store, bench: OwnBench) -> list[str]:
    """Bring what waits in a bench's own file into the shared record; return what is to be told.

    What came in is dropped from the file only once the server has it on its disk. A session that a
    window of this bench still writes to is taken as far as it goes, and stays.
    """
    if not bench.apart.exists():
        return []
    incoming = Incoming(store, Jobs(store, bench.indexed))
    with closing(Store(bench.apart)) as own, ExitStack() as holds:
        busy = _busy(own, holds)
        with own.transaction():
            jobs, loose = all_names(own)
            if not jobs and not loose:
                return []
            incoming.take(bundles(own, jobs, loose))
            said = [*incoming.said, *_kept_here(own, incoming.erased, bench)]
            left = _emptied(own, busy, incoming.left)
    if taken := len(jobs) + len(loose) - len(incoming.erased):
        said.append(
            "Kept on this bench while the shared record was out of reach, and in it now: jobs and "
            f"sessions without one, {taken}; nothing is lost."
        )
    if left:
        said.append(
            f"Sessions that a window still writes to: {left}; they go in at the next start."
        )
    return said


def _kept_here(own: Store, erased: set[str], bench: OwnBench) -> list[str]:
    """Keep what was erased in the shared record meanwhile in this bench's own, and tell so.

    It was written at this bench, and so is for this bench to erase.
    """
    if not erased:
        return []
    with closing(Store(bench.own)) as mine:
        came = (one for one in bundles(own, *all_names(own)) if one.uid in erased)
        Incoming(mine, Jobs(mine, bench.indexed)).take(came)
    return [
        f"Erased in the shared record meanwhile, and left out there: {len(erased)}. What this "
        f"bench wrote of it is in `{bench.own}`; without DIAG_STORE, `diag jobs` shows and erases "
        "it."
    ]


def _busy(own: Store, holds: ExitStack) -> set[str]:
    """Hold all sessions of a bench's own file; return the ids of those that a window holds."""
    busy = set()
    for (name,) in own.rows("select id from sessions"):
        try:
            holds.enter_context(own.database.hold("session", name))
        except HeldElsewhere:
            busy.add(str(name))
    return busy


def _emptied(own: Store, busy: set[str], left: set[str]) -> int:
    """Drop what is in the shared record from a bench's own file; return how many sessions stay."""
    stay = 0
    for name, uid in own.rows("select id, uid from sessions"):
        if name in busy or uid in left:
            stay += 1
        else:
            own.rows("delete from events where session = ?", (name,))
            own.rows("delete from sessions where id = ?", (name,))
    done = "not in (select job from sessions where job is not null)"
    own.rows(f"delete from job_entries where job {done}")
    own.rows(f"delete from jobs where id {done}")
    return stay
