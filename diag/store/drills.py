"""Drills kept beside the sessions: what was done in each, act by act, and the points it gave."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from diag.model.frozen import frozen
from diag.store.database import Holding
from diag.store.errors import StoreError
from diag.store.sessions import Store, StoredEvent, held

_ROW = "select id, begun, level, unit, fault, seed, number, rules, ended, how from drills"


@frozen
class DrillRow:
    """A drill: from what it is drawn, and how it ended; `ended` is None while it is open.

    `rules` is the fingerprint of the rules that it was begun with.
    """

    id: str
    begun: str
    level: int
    unit: str
    fault: str
    seed: int
    number: int
    rules: str
    ended: str | None = None
    how: str | None = None


@frozen
class DrillMark:
    """Points of a drill, 0 to 10, for one cause of a family; `at` is when."""

    drill: str
    family: str
    cause: str
    points: float
    at: str


class Drills:
    """The drills of a store. Each call that writes is on the disk when it returns."""

    def __init__(self, store: Store) -> None:
        """Take the drills of a store."""
        self._store = store

    def create(
        self, level: int, unit: str, fault: str, *, drawn: tuple[int, int], rules: str
    ) -> str:
        """Begin a drill drawn by a seed and a number; return its id."""
        with self._store.transaction() as connection:
            drill = self._store.fresh_id("drills")
            connection.execute(
                "insert into drills (id, begun, level, unit, fault, seed, number, rules, used) "
                "values (?, ?, ?, ?, ?, ?, ?, ?, (select coalesce(max(used), 0) + 1 from drills))",
                (drill, self._store.now(), level, unit, fault, *drawn, rules),
            )
        return drill

    def append(self, drill: str, kind: str, payload: Mapping[str, Any]) -> StoredEvent:
        """Add an act to an open drill; `StoreError` for one that is unknown or over."""
        text = json.dumps(dict(payload), allow_nan=False)
        with self._store.transaction() as connection:
            self._open(drill)
            ((last,),) = self._store.rows(
                "select coalesce(max(number), 0) from drill_acts where drill = ?", (drill,)
            )
            act = StoredEvent(last + 1, kind, json.loads(text), self._store.now())
            connection.execute(
                "insert into drill_acts (drill, number, at, kind, payload) values (?, ?, ?, ?, ?)",
                (drill, act.number, act.at, kind, text),
            )
            connection.execute(
                "update drills set used = (select max(used) from drills) + 1 where id = ?", (drill,)
            )
        return act

    def acts(self, drill: str) -> tuple[StoredEvent, ...]:
        """Return what was done in a drill, in order; what is damaged comes with nothing in it."""
        self.drill(drill)
        rows = self._store.rows(
            "select number, kind, payload, at from drill_acts where drill = ? order by number",
            (drill,),
        )
        return tuple(
            StoredEvent(number, str(kind), held(text), str(at)) for number, kind, text, at in rows
        )

    def end(self, drill: str, how: str, marks: Iterable[tuple[str, str, float]] = ()) -> None:
        """End an open drill; its marks are families with a cause and points."""
        now = self._store.now()
        with self._store.transaction() as connection:
            self._open(drill)
            connection.execute(
                "update drills set ended = ?, how = ? where id = ?", (now, how, drill)
            )
            connection.executemany(
                "insert or replace into drill_marks (drill, family, cause, points, at) "
                "values (?, ?, ?, ?, ?)",
                [(drill, *mark, now) for mark in marks],
            )

    def drill(self, drill: str) -> DrillRow:
        """Return one drill; `StoreError` when it is unknown."""
        rows = self._store.rows(f"{_ROW} where id = ?", (drill,))
        if not rows:
            raise StoreError(f"there is no drill `{drill}`")
        return DrillRow(*rows[0])

    def drills(self, open_only: bool = False) -> tuple[DrillRow, ...]:
        """Return the drills, the one last worked on first."""
        where = "where ended is null" if open_only else ""
        return tuple(
            DrillRow(*row) for row in self._store.rows(f"{_ROW} {where} order by used desc")
        )

    def marks(self) -> tuple[DrillMark, ...]:
        """Return all marks, the oldest first."""
        rows = self._store.rows(
            "select drill, family, cause, points, at from drill_marks order by at, drill, family"
        )
        return tuple(DrillMark(*row) for row in rows)

    def lock(self, drill: str) -> Holding:
        """Hold a drill for this process, as a session is held."""
        self.drill(drill)
        return self._store.database.hold("drill", drill)

    def _open(self, drill: str) -> DrillRow:
        row = self.drill(drill)
        if row.ended is not None:
            raise StoreError(f"drill `{drill}` is over ({row.how}): begin a new one")
        return row
