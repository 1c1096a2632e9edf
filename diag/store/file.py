"""A record in one SQLite file."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from diag.store.database import Cell
from diag.store.errors import StoreError, in_a_sentence, is_damage, told_plainly
from diag.store.ownership import Ownership
from diag.store.schema import migrate, refuse_damage
from diag.store.whole import LARGE_LOG, WholeSum

WAIT_SECONDS = 5.0


def readable_text(text: bytes) -> str:
    """Return stored text: a byte that is none makes one word unreadable, not the whole file."""
    return text.decode("utf-8", "replace")


class RecordFile:
    """One SQLite file, made with its folder if need be.

    Each transaction is on the disk when it returns: write-ahead log with `synchronous = FULL`. A
    person answers every few seconds, so the cost of the flush is nothing, and a power cut right
    after an answer must not lose it.
    """

    fills = True

    def __init__(self, path: Path) -> None:
        """Open the file; `StoreError` when it cannot be."""
        self._open = False
        self.path, self.name, self.whole = path, f"`{path}`", WholeSum(path)
        with told_plainly(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            self.connection = sqlite3.connect(path, timeout=WAIT_SECONDS, isolation_level=None)
        self.connection.text_factory = readable_text
        try:
            with told_plainly(path):
                refuse_damage(self.connection, path)
                migrate(self.connection, path)
                self.connection.execute("pragma journal_mode = wal")
                self.connection.execute("pragma synchronous = full")
                self.connection.execute("pragma foreign_keys = on")
                # What was erased is not to be found in the file: SQLite writes zeros over it.
                self.connection.execute("pragma secure_delete = on")
                self.connection.execute("pragma wal_autocheckpoint = 0")  # `settle` does it
        except BaseException:
            self.connection.close()
            raise
        self._open = True

    def close(self) -> None:
        """Close the file, its log taken into it; a second call does nothing."""
        if not self._open:
            return
        self._open = False
        # Where the disk refuses that, the log keeps all that was written for the next time.
        with suppress(sqlite3.Error, OSError, StoreError):
            if self.whole.log_size():
                self.settle()
        self.connection.close()

    def __del__(self) -> None:
        # SQLite would take the log in by itself, and without a sum, where one is not closed.
        self.close()

    def settle(self) -> bool:
        """Take the log into the file; return whether all of it could be."""
        with told_plainly(self.path):
            return self.whole.settle(self.connection)

    @contextmanager
    def transaction(self) -> Iterator[sqlite3.Connection]:
        """Hold the file for writing: all that is done within is kept, or nothing is."""
        with told_plainly(self.path):
            self.connection.execute("begin immediate")
            try:
                yield self.connection
                self.connection.execute("commit")
                if self.whole.log_size() > LARGE_LOG:
                    self.settle()
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
        return Ownership(self.lock_file(what, name), name, what)

    def lock_file(self, what: str, name: str) -> Path:
        """Return the file by whose lock something is held."""
        prefix = "" if what == "session" else f"{what}-"
        return self.path.with_name(f"{self.path.name}.locks") / f"{prefix}{name}.lock"

    def copy_to(self, other: sqlite3.Connection) -> None:
        """Write all that is kept into another database, as it stands at one moment.

        Raises `StoreError` where this one is damaged, and `sqlite3.Error` where the other refuses.
        """
        try:
            self.connection.backup(other)
        except sqlite3.Error as error:
            if is_damage(error):
                raise StoreError(in_a_sentence(error, self.path)) from error
            raise

    def copy_from(self, other: sqlite3.Connection) -> None:
        """Put all that another database holds in the place of what is kept, whole or not at all."""
        with told_plainly(self.path):
            other.backup(self.connection)
