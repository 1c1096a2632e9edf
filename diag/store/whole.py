"""The sum of the whole file: whatever changed a bit of it, but the store itself, is found.

With a write-ahead log the file itself changes only when the log is taken into it. The store alone
does that, one process at a time, and writes the sum of the file beside it each time.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from diag.store.ownership import Ownership, in_turn

BLOCK = 1 << 20
LARGE_LOG = 1 << 25
"""Bytes of a log from which it is taken into the file before the file is closed."""


class WholeSum:
    """The sum beside a file of sessions."""

    def __init__(self, path: Path) -> None:
        """Take the file; neither it nor its sum need be there."""
        self._path = path
        self._sum = path.with_name(f"{path.name}.sum")
        self._log = path.with_name(f"{path.name}-wal")

    def holds(self) -> bool:
        """Tell whether the file is as it was left; where no sum was left nothing speaks against it.

        None is left where a process was killed while it took the log in.
        """
        if not self._sum.exists():
            return True
        with self._turn():
            return self._holds()

    def log_size(self) -> int:
        """Return how many bytes of the log are not in the file yet."""
        try:
            return self._log.stat().st_size
        except OSError:
            return 0

    def settle(self, connection: sqlite3.Connection) -> bool:
        """Take the log into the file, and sum it anew; return whether all of it could be.

        A file that was not as it was left keeps its old sum, so that this is not forgotten.
        """
        with self._turn():
            held = self._holds()
            if held:
                self._sum.unlink(missing_ok=True)
                _on_disk(self._path.parent)
            busy, _, _ = connection.execute("pragma wal_checkpoint(truncate)").fetchone()
            if held and not busy:
                self._sum.write_text(f"{self._now():08x}\n", encoding="ascii")
            return not busy

    def forget(self) -> None:
        """Leave no sum: another file is put in the place of this one."""
        self._sum.unlink(missing_ok=True)

    def _holds(self) -> bool:
        try:
            left = int(self._sum.read_text(encoding="ascii"), 16)
        except (OSError, ValueError):  # there is none, or a power cut left half of one
            return True
        return left == self._now()

    def _now(self) -> int:
        found = 0
        with self._path.open("rb") as file:
            while block := file.read(BLOCK):
                found = crc32(block, found)
        return found

    def _turn(self) -> Ownership:
        return in_turn(self._path.with_name(f"{self._path.name}.locks") / "settle.lock")


def _on_disk(folder: Path) -> None:
    """Wait until what became of a folder's files is on the disk, where the system can tell."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)
