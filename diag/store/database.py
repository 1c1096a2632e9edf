"""What a record asks of the database that keeps it, whichever it is."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager
from types import TracebackType
from typing import Any, Protocol, Self

Cell = str | int | float | None


class Connection(Protocol):
    """What writes within a transaction. Values stand in a query as `?`."""

    def execute(self, query: str, values: Sequence[Cell] = (), /) -> Any:
        """Run one query and return its cursor."""

    def executemany(self, query: str, values: Iterable[Sequence[Cell]], /) -> Any:
        """Run one query for each row of values."""


class Holding(ABC):
    """Something that one process holds until it lets go or ends; let go at the end of a `with`."""

    @abstractmethod
    def release(self) -> None:
        """Let it go; a second call does nothing."""

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.release()


class Database(Protocol):
    """A database that keeps a record. What goes wrong in it is a `StoreError`."""

    @property
    def name(self) -> str:
        """Return what sentences call it."""

    @property
    def fills(self) -> bool:
        """Tell whether it fills in what was withheld, and drops what is all in another copy."""

    def transaction(self) -> AbstractContextManager[Connection]:
        """Hold it for writing: all that is done within is kept, or nothing is."""

    def rows(self, query: str, values: Sequence[Cell]) -> list[Any]:
        """Return what a query finds."""

    def hold(self, what: str, name: str) -> Holding:
        """Hold what has that name; `StoreError` when another process or bench has it."""

    def close(self) -> None:
        """Let the database go."""
