"""Export and import of many jobs: does the time per job stay the same?

`python -m tests.bench.exchange [few [many]]` fills a record with made-up jobs (invented, three
entries and a session of six events each), writes them as a file, takes the file into an empty
record, and takes it in once more. Told are the milliseconds per job of each with few jobs and with
many, and their ratio, which is near 1 where the time is linear.
"""

from __future__ import annotations

import io
import sys
import tempfile
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from time import perf_counter

from diag.jobs.record import index_of
from diag.store import Store
from diag.store.exchange.bundle import Bundle, JobBundle, SessionBundle
from diag.store.exchange.incoming import Incoming
from diag.store.exchange.lines import lines_of, read_lines
from diag.store.exchange.outgoing import all_names, bundles
from diag.store.jobs import JobEntry, Jobs
from diag.store.sessions import LETTERS, StoredEvent

FEW, MANY, AT_ONCE = 10_000, 100_000, 200
AT = "2026-05-04T10:00:00+00:00"


def name(number: int, length: int = 7) -> str:
    """Return an id that no other number has."""
    letters = []
    for _ in range(length):
        number, digit = divmod(number, len(LETTERS))
        letters.append(LETTERS[digit])
    return "".join(letters)


def job(number: int) -> JobBundle:
    """Return an invented job."""
    uid = f"{number:032x}"
    label = {"customer": None, "vehicle": None, "tag": f"LIB-{number % 500:03}", "serial": None,
             "about": None}  # fmt: skip
    payloads = [
        ("opened", {"unit": "small 12 V", "complaint": "goes out", "label": label}),
        ("noted", {"text": "inlet full of dust"}),
        ("ended", {"outcome": "put right"}),
    ]
    entries = tuple(
        JobEntry(place, f"{number:024x}{place:08x}", kind, payload, AT)
        for place, (kind, payload) in enumerate(payloads, 1)
    )
    events = tuple(
        StoredEvent(place, "noted", {"text": f"look {place}", "when": AT}, AT)
        for place in range(1, 7)
    )
    header = {"unit": "small 12 V", "complaint": "goes out"}
    session = SessionBundle(f"{number:031x}f", name(number), 1, AT, header, "proved", events, uid)
    return JobBundle(uid, name(number), AT, entries, (session,))


def taken_in(store: Store, found: Iterator[Bundle]) -> Incoming:
    """Take bundles in as the command does."""
    incoming = Incoming(store, Jobs(store, index_of))
    while some := list(islice(found, AT_ONCE)):
        incoming.take(some)
    return incoming


def sound(file: bytes) -> Iterator[Bundle]:
    """Yield what a file holds."""
    for _, one in read_lines(io.BytesIO(file), "file"):
        assert not isinstance(one, str), one
        yield one


def seconds(act: Callable[[], object]) -> float:
    """Return how long an act takes."""
    begun = perf_counter()
    act()
    return perf_counter() - begun


def measured(count: int, folder: Path) -> dict[str, float]:
    """Return milliseconds per job of each act with so many jobs."""
    first, second = Store(folder / f"{count}-a.db"), Store(folder / f"{count}-b.db")
    taken_in(first, map(job, range(count)))
    file: list[bytes] = []

    def export() -> None:
        lines = lines_of(bundles(first, *all_names(first)), count)
        file.append("".join(lines).encode())

    times = {
        "export": seconds(export),
        "import": seconds(lambda: taken_in(second, sound(file[0]))),
        "import again": seconds(lambda: taken_in(second, sound(file[0]))),
    }
    assert second.rows("select count(*) from events") == [(6 * count,)]
    return {act: 1000 * time / count for act, time in times.items()}


def main(few: int, many: int) -> None:
    """Print milliseconds per job, and how they grow."""
    with tempfile.TemporaryDirectory() as folder:
        less, more = (measured(count, Path(folder)) for count in (few, many))
    for act in less:
        print(
            f"{act}: {less[act]:.2f} ms a job at {few:,}, {more[act]:.2f} at {many:,}, "
            f"ratio {more[act] / less[act]:.2f}"
        )


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(numbers[0] if numbers else FEW, numbers[1] if numbers[1:] else MANY)
