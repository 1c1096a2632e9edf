"""A hundred thousand jobs kept: how long their list, a search and a unit's history take.

`python -m tests.bench.jobs [JOBS]` builds a file of that many jobs, each with two entries, and with
a session to every other one, by SQL alone. Then it takes in turns, and prints as medians: `diag
--help`, which is bare start-up; each command; and the same rows asked for by the standard
library's sqlite3 in a bare Python. Told are the milliseconds of a processor beyond start-up, which
are to be at most 100, and the ratios to both: who else is at work on the machine makes no odds.
"""

from __future__ import annotations

import json
import os
import random
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from diag.jobs.entries import Labelled, Opened, Remarked, entry_as_data
from diag.jobs.record import index_of
from diag.store import Store
from diag.store.jobs import JobEntry
from diag.store.sums import sum_of

JOBS, ROUNDS, SEED, UNITS = 100_000, 15, 20260301, 4000
WAITED = 0.1
"""Seconds beyond start-up that nothing is to take longer than."""
DIAG = (sys.executable, "-c", "from diag.cli import main; main()")
COMMANDS = {
    "list, first page": ("jobs", "list"),
    "list, open ones": ("jobs", "list", "--open"),
    "list, a middle page": ("jobs", "list", "--page", "1000"),
    "search, found": ("jobs", "search", "lib-0117"),
    "search, two words": ("jobs", "search", "grille", "lib-0117"),
    "search, nothing found": ("jobs", "search", "zeppelin"),
    "history of a unit": ("jobs", "list", "--unit", "LIB-0117"),
}
BARE = """
import sqlite3, sys
rows = sqlite3.connect(sys.argv[1]).execute(
    "select id, opened, title, outcome from jobs order by used desc limit 50").fetchall()
print(rows)
"""
SAID = ("goes out after a minute", "white smoke in the morning", "will not start", "smells of fuel")
NOTES = (
    "leaves on the grille, cleaned",
    "rang the depot",
    "runs well, left it on",
    "fuse was loose",
)


def entries_of(number: int, chance: random.Random) -> list[JobEntry]:
    """Return the entries of an invented job."""
    unit = chance.randrange(UNITS)
    label = Labelled(
        customer=f"road crew {unit % 90}",
        vehicle=f"library bus {unit % 700}",
        tag=f"LIB-{unit:04}",
        serial=f"{unit * 7:06}",
    )
    at = f"20{10 + number * 15 // JOBS:02}-03-01T08:{number % 60:02}:00+00:00"
    written = (Opened("small 12 V", chance.choice(SAID), label), Remarked(chance.choice(NOTES)))
    return [
        JobEntry(place, f"{chance.getrandbits(128):032x}", *entry_as_data(entry), at)
        for place, entry in enumerate(written, 1)
    ]


def build(path: Path, count: int) -> None:
    """Keep so many jobs in a new file, as the store itself would."""
    Store(path).close()
    raw, chance = sqlite3.connect(path), random.Random(SEED)
    for number in range(count):
        entries = entries_of(number, chance)
        found, job, at = index_of(entries), f"j{number:06}", entries[0].at
        uid = f"{chance.getrandbits(128):032x}"
        outcome = None if number % 50 == 0 else "put right"
        raw.execute(
            "insert into jobs (id, uid, opened, tag, serial, title, words, outcome, used, sum) "
            "values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                *(job, uid, at, found.tag, found.serial, found.title, found.words),
                *(outcome, number + 1, sum_of(uid, at)),
            ),
        )
        for one in entries:
            row = (one.number, one.uid, one.at, one.kind, json.dumps(dict(one.payload)))
            raw.execute(
                "insert into job_entries (job, number, uid, at, kind, payload, sum) "
                "values (?, ?, ?, ?, ?, ?, ?)",
                (job, *row, sum_of(*row)),
            )
        if number % 2:
            header = json.dumps({"unit": "small 12 V", "complaint": "noise"})
            raw.execute(
                "insert into sessions (id, started, header, outcome, uid, job, used, sum) "
                "values (?, ?, ?, 'proved', ?, ?, ?, ?)",
                (f"s{number:06}", at, header, uid, job, number, sum_of(uid, at, header, "proved")),
            )
    raw.commit()
    raw.close()


def seconds(*words: str) -> float:
    """Return how long a program keeps a processor busy from its start to its end."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(count: int) -> bool:
    """Print the table; return whether all is as it is to be."""
    with tempfile.TemporaryDirectory() as home:
        os.environ["DIAG_HOME"] = home
        path = Path(home) / "sessions.db"
        build(path, count)
        print(f"{count} jobs, {path.stat().st_size / 1e6:.0f} MB")
        runs = {name: (*DIAG, *words) for name, words in COMMANDS.items()}
        runs |= {"start-up": (*DIAG, "--help"), "sqlite3": (sys.executable, "-c", BARE, str(path))}
        taken: dict[str, list[float]] = {name: [] for name in runs}
        for _ in range(ROUNDS):
            for name, words in runs.items():
                taken[name].append(seconds(*words))
        middle = {name: statistics.median(times) for name, times in taken.items()}
        start, bare = middle["start-up"], middle["sqlite3"]
        for name in COMMANDS:
            beyond = (middle[name] - start) * 1000
            print(
                f"{name:22} {beyond:6.0f} ms beyond start-up, {middle[name] / start:5.2f} times "
                f"it, {middle[name] / bare:5.2f} times bare sqlite3"
            )
    return all(middle[name] - start <= WAITED for name in COMMANDS)


if __name__ == "__main__":
    raise SystemExit(0 if main(int(sys.argv[1]) if sys.argv[1:] else JOBS) else 1)
