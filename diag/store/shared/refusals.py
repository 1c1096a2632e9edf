"""What a server refuses, in one sentence that says what to do and holds no password."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import psycopg
from psycopg import errors

from diag.store.errors import StoreError


class OutOfReach(StoreError):
    """The server cannot be reached, or did not answer: a bench can go on in its own file."""


_NO_ROOM = "has no room left on its disk: tell the one who keeps it; nothing of this was written"
_TOLD: tuple[tuple[type[psycopg.Error], str], ...] = (
    (errors.LockNotAvailable, "is being written to by another bench: wait a moment and try again"),
    (
        errors.InsufficientPrivilege,
        "lets this bench add and read, not erase or change: ask the one who keeps it",
    ),
    (errors.ReadOnlySqlTransaction, "may only be read at the moment: ask the one who keeps it"),
    (errors.DiskFull, _NO_ROOM),
    (
        errors.UndefinedObject,
        "knows no such name: have the one who keeps it make it, as `create role`",
    ),
    (errors.UndefinedTable, "is not as it should be, a table is gone: ask the one who keeps it"),
    (errors.UndefinedColumn, "is not as it should be, a column is gone: ask the one who keeps it"),
)
_AT_THE_DOOR = (
    ("password authentication failed", "does not know this name with this password"),
    ("no password supplied", "asks for a password, and the address holds none"),
    ("no pg_hba.conf entry", "does not let this bench in"),
    ("does not exist", "has no such database or no such name"),
    ("is not permitted to log in", "does not let this name in"),
    ("permission denied for database", "does not let this name into the database"),
)
"""What a server says when it refuses a connection: it comes as words alone."""
_LOST = (
    errors.AdminShutdown, errors.CrashShutdown, errors.CannotConnectNow, errors.QueryCanceled,
    errors.IdleInTransactionSessionTimeout, errors.TooManyConnections,
)  # fmt: skip


def refusal(error: psycopg.Error, name: str, connection: object = None) -> StoreError:
    """Return what went wrong at a server as a sentence about `name`."""
    for kind, told in _TOLD:
        if isinstance(error, kind):
            return StoreError(f"the shared record at {name} {told}")
    closed = isinstance(connection, psycopg.Connection) and connection.closed
    if closed or isinstance(error, _LOST):
        return OutOfReach(f"the shared record at {name} is out of reach: {_why(error)}")
    if isinstance(error, psycopg.OperationalError):
        for said, told in _AT_THE_DOOR:
            if said in str(error):
                return StoreError(f"the server of {name} {told}: check DIAG_STORE")
        return OutOfReach(f"the shared record at {name} is out of reach: {_why(error)}")
    return StoreError(f"the shared record at {name} could not be used ({_why(error)}): try again")


def _why(error: psycopg.Error) -> str:
    if isinstance(error, errors.QueryCanceled | psycopg.errors.ConnectionTimeout):
        return "it did not answer in time"
    first = str(error).strip().splitlines()
    said = first[0].rpartition(" failed: ")[2] if first else "it closed the line"
    return " ".join(said.removeprefix("FATAL:").split())[:160]


@contextmanager
def told_at(name: str, connection: object = None) -> Iterator[None]:
    """Turn errors of a server into `StoreError`s about `name`."""
    try:
        yield
    except psycopg.Error as error:
        raise refusal(error, name, connection) from error
