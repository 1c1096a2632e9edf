"""What a record of very many jobs costs: opening a session with it, learning, calibration.

Run by hand: `python -m tests.bench.learning [jobs]`, 100,000 unless told otherwise. The record is
drawn by a seed: every job has one session with one repair, most of them proved, and the signs that
were read before it. Goals: learning under 2 s, a heater's past within 100 ms. As a peer the same
counts are made by a walk over all rows in Python.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from diag.cli.book import load_book
from diag.jobs.entries import Labelled, Opened, entry_as_data
from diag.jobs.learning.calibration import calibration
from diag.jobs.learning.link_suggestions import links_seen
from diag.jobs.learning.shares import learned_shares, rules_shares
from diag.jobs.past.repaired import recollections
from diag.jobs.past.unit_past import past_of
from diag.model.rulebook import Rulebook
from diag.reason.belief.links import Links, compile_links
from diag.store import Store
from diag.store.outcomes import Outcomes

JOBS, HEATERS, SEED = 100_000, 4_000, 17
WHEN = "2026-11-02T08:00:00+00:00"
TABLES = {
    "jobs": "id uid opened tag title words used serial",
    "job_entries": "job number uid at kind payload",
    "sessions": "id started header uid job",
    "outcomes": "session number at complaint unit cause share result",
    "seen": "session cause sign state",
}
"""The tables of the record that are filled, with their columns."""


def filled(store: Store, book: Rulebook, links: Links, jobs: int) -> None:
    """Fill a store with jobs whose causes are drawn by the shares in the rules."""
    rng, units = random.Random(SEED), sorted(book.units)
    shares = {one: rules_shares(links, book.scales.settings, one) for one in book.complaints}
    rows: dict[str, list[tuple[Any, ...]]] = {name: [] for name in TABLES}
    for number in range(jobs):
        complaint, unit = rng.choice(list(shares)), rng.choice(units)
        names, weights = zip(*shares[complaint].items(), strict=True)
        [cause] = rng.choices(names, weights)
        tag, share = f"LIB-{number % HEATERS}", rng.random()
        result = "proved" if rng.random() < share else "failed"
        job, session = f"j{number}", f"s{number}"
        rows["jobs"].append((job, job, WHEN, tag, tag, "", number, ""))
        kind, entry = entry_as_data(Opened(unit, complaint, Labelled(tag=tag)))
        rows["job_entries"].append((job, 1, job, WHEN, kind, json.dumps(entry)))
        rows["sessions"].append((session, WHEN, "{}", session, job))
        rows["outcomes"].append((session, 0, WHEN, complaint, unit, cause, share, result))
        for sign in sorted(book.causes[cause].shows)[:12]:
            table = links.table(sign)
            [state] = rng.choices(table.states, table.given[links.cause_index[cause]])
            rows["seen"].append((session, cause, sign, state))
    with store.transaction() as connection:
        for name, columns in TABLES.items():
            marks = ", ".join("?" * len(columns.split()))
            named = ", ".join(columns.split())
            query = f"insert into {name} ({named}) values ({marks})"
            connection.executemany(query, rows[name])


def timed(what: str, work: Callable[[], object]) -> None:
    """Do something three times and print the least time that it took, on the clock and of it all
    on the processor."""
    least, busy = float("inf"), float("inf")
    for _ in range(3):
        begin, began = time.perf_counter(), time.process_time()
        work()
        least = min(least, time.perf_counter() - begin)
        busy = min(busy, time.process_time() - began)
    print(f"{1e3 * least:9.1f} ms, busy {1e3 * busy:9.1f} ms  {what}")


def main(jobs: int = JOBS) -> None:
    """Fill a store in a folder that goes away, and time what is asked of it."""
    book = load_book()
    links = compile_links(book.signs, book.causes)
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "record.db")
        filled(store, book, links, jobs)
        record, some = Outcomes(store), next(iter(book.complaints))

        def learn() -> None:
            for complaint in book.complaints:
                for one in learned_shares(
                    book, complaint, record.proved(complaint), "", links
                ).shares:
                    one.here.interval()
            [one.is_outside for one in links_seen(book, record.seen(), links)]

        def past() -> None:
            found = past_of(store, "j7")
            recollections((each for one in found.jobs for each in one.repairs), book, WHEN)

        def walk() -> None:
            rows = store.rows("select complaint, unit, cause from outcomes where result = 'proved'")
            Counter(rows)
            Counter(store.rows("select cause, sign, state from seen"))

        seen = store.rows("select count(*) from seen")[0][0]
        print(f"{jobs} jobs, {seen} signs, {store.path.stat().st_size / 1e6:.0f} MB")
        timed("the shares of one complaint, as a session opens", lambda: learned_shares(
            book, some, record.proved(some), "", links))  # fmt: skip
        timed("the past of one heater", past)
        timed("learning: all shares with intervals, all links", learn)
        timed("calibration", lambda: calibration(record.verdicts()))
        timed("sessions whose summary is not up to date", record.stale)
        timed("peer: all rows walked and counted, without intervals", walk)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
