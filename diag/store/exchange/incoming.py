"""Bundles taken into a store: what is new is added, what is known changes nothing."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import ExitStack

from diag.store.exchange.bundle import Bundle, JobBundle
from diag.store.exchange.entries_in import entries_in
from diag.store.exchange.sessions_in import SessionsIn
from diag.store.jobs import Jobs
from diag.store.sessions import Store
from diag.store.sums import sum_of


class Incoming:
    """What came in: counts of jobs and sessions, and sentences on what people should know."""

    def __init__(self, store: Store, jobs: Jobs, *, anyway: bool = False) -> None:
        """Take bundles into a store, whose jobs are found as `jobs` says.

        What was erased there is left out, by its uid in `erased`, or taken in `anyway`.
        """
        self._store, self._jobs, self._anyway = store, jobs, anyway
        self.new = self.grown = self.known = 0
        self.said: list[str] = []
        self.left: set[str] = set()
        self.erased: set[str] = set()

    def take(self, bundles: Iterable[Bundle]) -> None:
        """Take bundles in, all of them or none; `StoreError` when the store refuses.

        A session that is open in a window stays as it is there, and is said.
        """
        with ExitStack() as holds, self._store.transaction():
            sessions = SessionsIn(self._store, holds, self.said)
            for bundle in bundles:
                if self._stays_erased(bundle):
                    self.erased.add(bundle.uid)
                    continue
                if isinstance(bundle, JobBundle):
                    new, grown = self._job(bundle, sessions)
                else:
                    new, grown = sessions.take([bundle], job=None)
                self.new += new
                self.grown += grown and not new
                self.known += not (new or grown)
            self.left |= sessions.left

    def _stays_erased(self, bundle: Bundle) -> bool:
        """Tell whether a bundle was erased here, and is to stay so."""
        if not self._anyway:
            return bool(self._store.rows("select 1 from erased where uid = ?", (bundle.uid,)))
        sessions = bundle.sessions if isinstance(bundle, JobBundle) else ()
        for uid in (bundle.uid, *(one.uid for one in sessions)):
            self._store.rows("delete from erased where uid = ?", (uid,))
        return False

    def _job(self, bundle: JobBundle, sessions: SessionsIn) -> tuple[bool, bool]:
        """Take in a job; return whether it is new here, and whether anything came of it."""
        rows = self._store.rows("select id, opened from jobs where uid = ?", (bundle.uid,))
        if rows:
            ((job, opened),) = rows
        else:
            job, opened = self._store.id_as_elsewhere("jobs", bundle.id), bundle.opened
            if job != bundle.id:
                self.said.append(
                    f"`{bundle.id}` is another job here: the one that came in is `{job}`"
                )
            self._jobs.put_job(job, bundle.uid, opened)
        grown = bool(rows) and bundle.opened < opened
        if grown:
            self._store.rows(
                "update jobs set opened = ?, sum = ? where id = ?",
                (bundle.opened, sum_of(bundle.uid, bundle.opened), job),
            )
        if entries_in(self._store, self._jobs, job, bundle.entries, self.said) or not rows:
            self._jobs.index(job, self._jobs.entries(job))
            grown = True
        grown |= any(sessions.take(bundle.sessions, job=job))
        return not rows, grown
