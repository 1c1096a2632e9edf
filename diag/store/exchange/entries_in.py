"""Entries of a job that come in: what is said nowhere yet is added."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from hashlib import sha256

from diag.store.exchange.outgoing import stored_entries
from diag.store.exchange.union import entry_under, maximal, said_by
from diag.store.jobs import JobEntry, Jobs
from diag.store.sessions import Store
from diag.store.sums import sum_of


def entries_in(
    store: Store, jobs: Jobs, job: str, came: Iterable[JobEntry], said: list[str]
) -> bool:
    """Take entries into a job, within a transaction; return whether anything came of it."""
    stored = stored_entries(store, job)
    has = {said_by(entry) for _, entry in stored}
    fresh: dict[str, list[JobEntry]] = {}
    for entry in came:
        if said_by(entry) not in has:
            fresh.setdefault(entry.uid, []).append(entry)
    changed = False
    for uid, copies in fresh.items():
        rows = [(at, entry) for at, entry in stored if entry.uid == uid]
        changed |= _copies(store, jobs, job, rows, copies, said=said)
    return changed


def _copies(
    store: Store,
    jobs: Jobs,
    job: str,
    rows: list[tuple[str, JobEntry]],
    copies: list[JobEntry],
    *,
    said: list[str],
) -> bool:
    """Take in copies of one entry beside those that are stored."""
    kept = maximal([*(entry for _, entry in rows), *copies], entry_under)
    has, whole = {said_by(entry) for _, entry in rows}, {said_by(entry) for entry in kept}
    less = [(uid, entry) for uid, entry in rows if said_by(entry) not in whole]
    taken, changed = {uid for uid, _ in rows}, False
    for entry in kept:
        if said_by(entry) in has:
            continue
        row = next((one for one in less if entry_under(one[1], entry)), None)
        if row is not None:
            changed |= _fill(store, job, row[0], entry)
            if store.database.fills:  # once it says this, it is no copy of another any more
                less.remove(row)
            continue
        mark = sha256(said_by(entry).encode()).hexdigest()[:16]
        uid = f"{entry.uid}~{mark}" if taken else entry.uid
        jobs.put(job, replace(entry, uid=uid))
        taken.add(uid)
        changed = True
    if store.database.fills:
        for uid, entry in less:
            _drop(store, job, uid, entry.number)
    if changed and len(kept) > 1:
        said.append(f"an entry of job `{job}` came with another content: both are kept")
    return changed


def _drop(store: Store, job: str, uid: str, number: int) -> None:
    """Drop an entry of which another says all, and more."""
    where = "job = ? and number = ? and uid = ?"
    store.rows(f"delete from job_entries where {where}", (job, number, uid))


def _fill(store: Store, job: str, uid: str, entry: JobEntry) -> bool:
    """Fill in what was withheld of a stored entry, where the database does that."""
    if store.database.fills:
        text = json.dumps(dict(entry.payload))
        store.rows(
            "update job_entries set payload = ?, sum = ? where job = ? and number = ? and uid = ?",
            (text, sum_of(entry.number, uid, entry.at, entry.kind, text), job, entry.number, uid),
        )
    return store.database.fills
