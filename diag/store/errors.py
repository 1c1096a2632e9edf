"""What can go wrong with a file on disk, told in one sentence that says what to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from shutil import disk_usage

DAMAGED = "is damaged: put back a copy, or move it away, and a new one is begun"

LEAST_ROOM = 1 << 16
"""Bytes without which SQLite cannot even read: its log's index alone is 32 KB."""


class StoreError(Exception):
    """Say in one sentence what is wrong with the stored sessions, where, and what to do."""


class HeldElsewhere(StoreError):
    """Another window or another bench holds what is asked for."""


def _primary(error: sqlite3.Error) -> int:
    """Return SQLite's primary result code, or 0 when the error carries none."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF


def is_damage(error: sqlite3.Error) -> bool:
    """Tell whether SQLite finds a file spoilt, and not merely out of reach."""
    wrong = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR)
    return _primary(error) in wrong


def _told_as(error: sqlite3.Error, path: Path) -> int:
    """Return the code of an error; a fault of a disk that is full is that it is full."""
    code = _primary(error)
    if code == sqlite3.SQLITE_IOERR:
        with suppress(OSError):
            if disk_usage(path.parent).free < LEAST_ROOM:
                return sqlite3.SQLITE_FULL
    return code


def in_a_sentence(error: sqlite3.Error | OSError, path: Path) -> str:
    """Word an error of the disk or of SQLite as one sentence about `path`."""
    if isinstance(error, OSError):
        why = (error.strerror or str(error)).lower()
        return f"`{path.parent}` cannot be used ({why}): name another data folder or repair it"
    told = {
        sqlite3.SQLITE_READONLY: "cannot be written to: make it and its folder writable, or name "
        "another data folder",
        sqlite3.SQLITE_CANTOPEN: "cannot be opened: make it and its folder readable and writable, "
        "or name another data folder",
        sqlite3.SQLITE_FULL: "has no room left on its disk: free some space and give the last "
        "answer again; all before it is kept",
        sqlite3.SQLITE_NOTADB: "is not a file of stored sessions: move it away, and a new one is "
        "begun",
        sqlite3.SQLITE_CORRUPT: DAMAGED,
        sqlite3.SQLITE_ERROR: DAMAGED,  # what we ask for is right, so a table is not as it was
        sqlite3.SQLITE_BUSY: "is being written to by another program: wait a moment and try again",
        sqlite3.SQLITE_LOCKED: "is being written to by another program: wait a moment and try "
        "again",
        sqlite3.SQLITE_IOERR: "could not be read or written, the disk reports a fault: check the "
        "disk, or name another data folder",
    }.get(_told_as(error, path))
    return f"`{path}` {told}" if told else f"`{path}` could not be used ({error}): try again"


@contextmanager
def told_plainly(path: Path) -> Iterator[None]:
    """Turn errors of the disk and of SQLite into `StoreError`s about `path`."""
    try:
        yield
    except (sqlite3.Error, OSError) as error:
        raise StoreError(in_a_sentence(error, path)) from error
    except UnicodeDecodeError as error:  # what SQLite says of a damaged table names its bytes
        raise StoreError(f"`{path}` {DAMAGED}") from error
