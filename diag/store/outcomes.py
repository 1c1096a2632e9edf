"""What the sessions of jobs came to, kept beside them: counts of the whole record in no time.

All of it follows from the journals. Counts are sums, so that they are the same in whatever order
the sessions came.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal as OneOf

from diag.model.frozen import frozen
from diag.store.sessions import Store

CameTo = OneOf["proved", "holds", "failed", "went on", "open"]
"""`proved`: the complaint is gone and the repair holds; `holds`: it holds and the complaint goes
on; `failed`: by its own proof; `went on`: by that of the complaint; `open`: not all was read."""


@frozen
class RepairOutcome:
    """A cause that was repaired in a session, how likely it was held to be, and what came of it.

    `share` is from 0 to 1, just before its first repair; `at` is when, in UTC.
    """

    at: str
    complaint: str
    unit: str
    cause: str
    share: float
    result: CameTo


@frozen
class SeenSign:
    """How a sign stood before the first repair, in a session that proved that repair's cause."""

    cause: str
    sign: str
    state: str


@frozen
class Summary:
    """What a session came to, up to an entry of its journal by its number from 1."""

    entries: int
    outcomes: tuple[RepairOutcome, ...] = ()
    seen: tuple[SeenSign, ...] = ()


class Outcomes:
    """The summaries of a store."""

    def __init__(self, store: Store) -> None:
        """Take the summaries of a store."""
        self._store = store

    def keep(self, session: str, summary: Summary) -> None:
        """Write what a session came to, in the place of what was written before."""
        with self._store.transaction() as connection:
            for table in ("outcomes", "seen", "summed"):
                connection.execute(f"delete from {table} where session = ?", (session,))
            connection.executemany(
                "insert into outcomes values (?, ?, ?, ?, ?, ?, ?, ?)",
                [
                    (session, n, one.at, one.complaint, one.unit, one.cause, one.share, one.result)
                    for n, one in enumerate(summary.outcomes)
                ],
            )
            connection.executemany(
                "insert into seen values (?, ?, ?, ?)",
                [(session, one.cause, one.sign, one.state) for one in summary.seen],
            )
            connection.execute("insert into summed values (?, ?)", (session, summary.entries))

    def stale(self, jobs: Iterable[str] | None = None) -> list[str]:
        """Return the sessions of jobs, of some or of all, whose summary lacks an entry."""
        query = (
            "select s.id from sessions s left join summed d on d.session = s.id where {} "
            "and coalesce(d.entries, 0) < "
            "(select coalesce(max(e.number), 0) from events e where e.session = s.id) "
            "order by s.job, s.place, s.uid"
        )
        if jobs is None:
            return [name for (name,) in self._store.rows(query.format("s.job is not null"))]
        rows = (self._store.rows(query.format("s.job = ?"), (job,)) for job in jobs)
        return [name for each in rows for (name,) in each]

    def forget(self) -> None:
        """Take back what was written of all sessions; it is made anew from their journals."""
        with self._store.transaction() as connection:
            for table in ("outcomes", "seen", "summed"):
                connection.execute(f"delete from {table}")

    def of_session(self, session: str) -> tuple[RepairOutcome, ...]:
        """Return what was repaired in a session, in order."""
        rows = self._store.rows(
            "select at, complaint, unit, cause, share, result from outcomes where session = ? "
            "order by number",
            (session,),
        )
        return tuple(RepairOutcome(*row) for row in rows)

    def proved(self, complaint: str) -> Mapping[tuple[str, str], int]:
        """Return how often each cause was proved for a complaint, by unit and cause."""
        rows = self._store.rows(
            "select unit, cause, count(*) from outcomes where complaint = ? and "
            "result = 'proved' group by cause, unit order by cause, unit",
            (complaint,),
        )
        return {(unit, cause): count for unit, cause, count in rows}

    def verdicts(self) -> list[tuple[float, CameTo]]:
        """Return how likely each repaired cause was held to be, and what came of it, in order."""
        return [
            (share, result)
            for share, result in self._store.rows(
                "select share, result from outcomes order by share, result"
            )
        ]

    def seen(self) -> Mapping[tuple[str, str], Mapping[str, int]]:
        """Return, by cause and sign, how often each state was seen where that cause was proved."""
        found: dict[tuple[str, str], dict[str, int]] = {}
        for cause, sign, state, count in self._store.rows(
            "select cause, sign, state, count(*) from seen group by cause, sign, state "
            "order by cause, sign, state"
        ):
            found.setdefault((cause, sign), {})[state] = count
        return found
