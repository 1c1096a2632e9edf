"""One process at a time per session, by a lock that the operating system drops at death."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import IO

from diag.store.database import Holding
from diag.store.errors import HeldElsewhere, told_plainly

if sys.platform == "win32":
    import msvcrt

    def _take(file: IO[str]) -> None:
        # Locked far behind the text, since a locked byte cannot be read on Windows.
        file.seek(1 << 20)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _take(file: IO[str]) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


WAITS, A_WAIT = 500, 0.01
"""How often a turn is asked for, and seconds between."""


class Ownership(Holding):
    """Hold a session for this process until it is released or the process ends, however it ends.

    A drill is held in the same way. The file is left in place: removing a lock file while another
    process waits to open it would let two hold the same session.
    """

    def __init__(self, path: Path, name: str, what: str = "session") -> None:
        """Take the session of that name; `StoreError` when another process has it."""
        with told_plainly(path):
            path.parent.mkdir(parents=True, exist_ok=True)
            self._file = path.open("a+", encoding="ascii", errors="replace")
        try:
            _take(self._file)
        except OSError:
            self._file.seek(0)
            owner = self._file.read(20).strip()
            self._file.close()
            by = f" (process {owner})" if owner.isdecimal() else ""
            raise HeldElsewhere(
                f"{what} `{name}` is open in another window{by}: go on there, or close that "
                "one first"
            ) from None
        with told_plainly(path):
            self._file.truncate(0)
            self._file.write(str(os.getpid()))
            self._file.flush()

    def release(self) -> None:
        """Let the session go; a second call does nothing."""
        self._file.close()


def in_turn(path: Path) -> Ownership:
    """Return the lock of a file once nobody else holds it; `HeldElsewhere` after seconds."""
    for _ in range(WAITS):
        try:
            return Ownership(path, path.stem, "a turn")
        except HeldElsewhere:
            time.sleep(A_WAIT)
    return Ownership(path, path.stem, "a turn")
