"""Where a record is kept in a test: a file, or a server that the tests start."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from diag.store import Store
from tests.store.server import Server


def opened(address: str, **own: Any) -> Store:
    """Open the record at a path or at the address of a server."""
    if address.startswith("postgresql://"):
        from diag.store.shared.server import ServerDatabase

        return Store(ServerDatabase(address), **own)
    return Store(address, **own)


@dataclass
class Place:
    """A place for records: each `new` one is empty."""

    folder: Path
    server: Server | None
    address: str = ""

    def __post_init__(self) -> None:
        self._made = 0
        self.address = self.new()

    def new(self) -> str:
        """Return the address of a new record."""
        if self.server is not None:
            return self.server.address(self.server.prepared())
        return str(self.new_file())

    def new_file(self) -> Path:
        """Return the path of a file that is not there yet."""
        self._made += 1
        return self.folder / f"record{self._made}.db"

    def store(self, **own: Any) -> Store:
        """Open the record of this place."""
        return opened(self.address, **own)
