"""A record in one SQLite file."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from diag.store.database import Cell
from diag.store.errors import told_plainly
from diag.store.ownership import Ownership
from diag.store.schema import migrate, refuse_damage

WAIT_SECONDS = 5.0


class RecordFile:
    """One SQLite file, made with its folder if need be.

    Each transaction is on the disk when it returns: write-ahead log with `synchronous = FULL`. A
    person answers every few seconds, so the cost of the flush is nothing, and a power cut right
    after an answer must not lose it.
    """

    fills = True

    def __init__(self, path: Path) -> None:
        """Open the file; `StoreError` when it cannot be."""
        self.path = path
        with told_plainly(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            self.connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
        # A byte that is no text makes one word unreadable, not the whole file.
        self.connection.text_factory = lambda text: text.decode("utf-8", "replace")
        try:
            with told_plainly(path):
                refuse_damage(self.connection, path)
                migrate(self.connection, path)
                self.connection.execute("pragma journal_mode = wal")
                self.connection.execute("pragma synchronous = full")
                self.connection.execute("pragma foreign_keys = on")
        except BaseException:
            self.connection.close()
            raise

    def close(self) -> None:
        """Close the file."""
        self.connection.close()

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """Hold the file for writing: all that is done within is kept, or nothing is."""
        with told_plainly(self.path):
            self.connection.execute("begin immediate")
            try:
                yield self.connection
                self.connection.execute("commit")
            except BaseException:
                # SQLite rolls back by itself on a full disk, and a second rollback would fail.
                if self.connection.in_transaction:
                    self.connection.execute("rollback")
                raise

    def rows(self, query: str, values: Sequence[Cell]) -> list[Any]:
        """Return what a query finds."""
        with told_plainly(self.path):
            return self.connection.execute(query, tuple(values)).fetchall()

    def hold(self, what: str, name: str) -> Ownership:
        """Hold what has that name for this process; the lock falls when the process ends."""
        folder = self.path.with_name(f"{self.path.name}.locks")
        prefix = "" if what == "session" else f"{what}-"
        return Ownership(folder / f"{prefix}{name}.lock", name, what)
