"""Bench and server killed while answers are written: is one lost that was acknowledged?

`python -m tests.bench.kills_shared [kills [seed]]` starts a PostgreSQL server of its own, and a
bench that writes answers into one session of the shared record, one by one. Bench or server is
killed (SIGKILL) at random moments; a bench without a server goes on in its own file and is killed
there as well, or leaves. Then both start again, the bench merges and goes on. After each start all
answers that were acknowledged must be in the session, each once and in order; told is how many are
not.
"""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from diag.jobs.record import index_of
from diag.store import Store
from diag.store.errors import HeldElsewhere
from tests.store.places import opened
from tests.store.server import Server

SEED, KILLS = 20261127, 200
SERVER, LONGEST_WAIT, PATIENCE = 0.4, 0.4, 30.0
"""How often the kill falls on the server, and seconds: to a kill, and until a bench writes."""

BENCH = """
import sys
from pathlib import Path
from tests.bench.kills_shared import write
write(sys.argv[1], Path(sys.argv[2]), sys.argv[3])
"""


def write(address: str, folder: Path, session: str) -> None:
    """Write answers into a session until killed, and print each number once it is acknowledged."""
    from diag.store.shared.fleet import OwnBench
    from diag.store.shared.fleet import opened as opened_by
    from diag.store.shared.server import ServerDatabase

    own = folder / "sessions.db"
    bench = OwnBench(folder / "apart.db", own, index_of, lambda told: print(told, file=sys.stderr))
    store = opened_by(lambda: ServerDatabase(address), bench)
    with locked(store, session):
        number = len(store.events(session))
        while True:
            store.append(session, "noted", {"n": number})
            print(number, flush=True)
            number += 1


def locked(store: Store, session: str) -> object:
    """Hold a session, once the server has noticed that the bench before is dead."""
    end = time.monotonic() + PATIENCE
    while True:
        try:
            return store.lock(session)
        except HeldElsewhere:
            if time.monotonic() > end:
                raise
            time.sleep(0.02)


class Trial:
    """A server, a bench, and what the bench has been told is kept."""

    def __init__(self, seed: int, folder: Path) -> None:
        self._chance, self._folder = random.Random(seed), folder
        self.server = Server()
        name = self.server.prepared()
        self._address = self.server.address(name)
        store = opened(self._address)
        self._session = store.create({"unit": "kettle"})
        store.close()
        self.acknowledged = -1
        self.apart = self.lost = self.wrong = 0

    def round(self) -> int:
        """Start the bench, kill it or the server, and look; return how many kills that were."""
        bench = subprocess.Popen(
            [sys.executable, "-c", BENCH, self._address, str(self._folder), self._session],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert bench.stdout is not None
        first = bench.stdout.readline()
        kills = 1
        time.sleep(self._chance.uniform(0, LONGEST_WAIT))
        if away := self._chance.random() < SERVER:
            self.server.stop(signal.SIGKILL)
            kills += 1
            time.sleep(self._chance.uniform(0, LONGEST_WAIT))
        bench.kill()
        rest, told = bench.communicate(timeout=PATIENCE)
        self.apart += "is kept in" in told
        # A line that was cut off was not told to the end.
        lines = [line for line in (first + rest).splitlines(keepends=True) if line[-1:] == "\n"]
        if not first:
            self.wrong += 1
            print(told, file=sys.stderr)
        self.acknowledged = max([self.acknowledged, *map(int, lines)])
        if away:
            self.server.start()
        self._look()
        return kills

    def _look(self) -> None:
        """Merge as a start does, and hold the session against what was acknowledged."""
        from diag.store.shared.fleet import OwnBench
        from diag.store.shared.fleet import opened as opened_by
        from diag.store.shared.server import ServerDatabase

        told: list[str] = []
        own = self._folder / "sessions.db"
        bench = OwnBench(self._folder / "apart.db", own, index_of, told.append)
        store = opened_by(lambda: ServerDatabase(self._address), bench)
        found = [event.payload["n"] for event in store.events(self._session)]
        self.wrong += found != list(range(len(found))) or len(store.sessions()) != 1
        self.lost += max(0, self.acknowledged + 1 - len(found))
        self.acknowledged = len(found) - 1
        store.close()


def main(kills: int, seed: int) -> None:
    """Print how many answers were lost."""
    with tempfile.TemporaryDirectory() as folder:
        trial = Trial(seed, Path(folder))
        try:
            done = 0
            while done < kills:
                done += trial.round()
        finally:
            trial.server.close()
    print(
        f"{done} kills of bench or server, {trial.acknowledged + 1} answers, {trial.apart} times "
        f"cut off: {trial.lost} acknowledged answers lost, {trial.wrong} records out of order"
    )


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(numbers[0] if numbers else KILLS, numbers[1] if numbers[1:] else SEED)
