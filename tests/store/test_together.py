"""Many at once, no room and no leave: one sentence, and nothing that was acknowledged is lost."""

from __future__ import annotations

import os
import resource
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from diag.jobs.record import index_of
from diag.store import Store, StoreError
from diag.store.care import back_up, faults_in
from diag.store.jobs import Jobs
from diag.store.schema import MIGRATIONS, migrate

WRITER = """
import sys
from diag.jobs.record import index_of
from diag.store import Store
from diag.store.jobs import Jobs
for number in range(int(sys.argv[3])):
    store = Store(sys.argv[1])
    entry = Jobs(store, index_of).append(sys.argv[2], "remarked", {"text": f"{number}"})
    print(entry.uid, flush=True)
    store.close()
"""
READER = """
import sys
from diag.jobs.record import index_of
from diag.store import Store
from diag.store.jobs import Jobs
seen = 0
for _ in range(int(sys.argv[3])):
    store = Store(sys.argv[1])
    jobs = Jobs(store, index_of)
    assert sys.argv[2] in [one.id for one in jobs.jobs()]
    now = len(jobs.entries(sys.argv[2]))
    assert now >= seen
    seen = now
    store.close()
print("read", flush=True)
"""
FILLER = """
import sys
from diag.jobs.record import index_of
from diag.store import Store, StoreError
from diag.store.jobs import Jobs
store = Store(sys.argv[1])
jobs = Jobs(store, index_of)
try:
    for number in range(10_000):
        print(jobs.append(sys.argv[2], "remarked", {"text": "x" * 3000}).uid, flush=True)
except StoreError as refused:
    print("refused:", refused, flush=True)
store.close()
"""


def begun(path: Path) -> str:
    """Keep one job and return its id."""
    store = Store(path)
    job = Jobs(store, index_of).open("opened", {"unit": "kettle", "complaint": "cold"})
    store.close()
    return job


def kept(path: Path, job: str) -> list[tuple[int, str]]:
    store = Store(path)
    try:
        return [(one.number, one.uid) for one in Jobs(store, index_of).entries(job)]
    finally:
        store.close()


def python(code: str, *words: object) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, words)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def test_two_write_and_ten_read(tmp_path: Path) -> None:
    """Nobody is refused, no entry is lost or numbered twice, and the file stays sound."""
    path = tmp_path / "s.db"
    job = begun(path)
    writers = [python(WRITER, path, job, 25) for _ in range(2)]
    readers = [python(READER, path, job, 8) for _ in range(10)]
    ended = [one.communicate(timeout=240) for one in (*writers, *readers)]
    assert [""] * 12 == [error for _, error in ended]
    told = {uid for said, _ in ended[:2] for uid in said.split()}
    found = kept(path, job)
    assert list(range(1, 52)) == [number for number, _ in found]
    assert told == {uid for _, uid in found[1:]}
    assert [] == faults_in(path)


def test_a_disk_that_takes_no_more(tmp_path: Path) -> None:
    """Where a file may grow no larger, all that was acknowledged is there, and goes on later."""
    path = tmp_path / "s.db"
    job = begun(path)

    def limit() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000))

    done = subprocess.run(
        [sys.executable, "-c", FILLER, str(path), job],
        capture_output=True, text=True, preexec_fn=limit, timeout=120, check=False,
    )  # fmt: skip
    told, _, refused = done.stdout.partition("refused: ")
    assert refused.startswith(f"`{path}` ")
    assert 1 == refused.count("\n")
    assert "" == done.stderr
    found = [uid for _, uid in kept(path, job)][1:]
    assert told.split() == found
    assert len(found) > 5
    store = Store(path)
    Jobs(store, index_of).append(job, "remarked", {"text": "room again"})
    store.close()
    assert len(found) + 2 == len(kept(path, job))
    assert [] == faults_in(path)


def test_no_room_for_a_job(tmp_path: Path) -> None:
    """A full disk is one sentence; of the job that found no room nothing is left."""
    path = tmp_path / "s.db"
    begun(path)
    store = Store(path)
    jobs = Jobs(store, index_of)
    ((pages,),) = store.rows("pragma page_count")
    store.rows(f"pragma max_page_count = {pages + 1}")
    with pytest.raises(StoreError, match="has no room left on its disk: free some space"):
        jobs.open("opened", {"unit": "kettle", "complaint": "x" * 50_000})
    assert 1 == jobs.count()
    store.rows("pragma max_page_count = 100000")
    jobs.open("opened", {"unit": "kettle", "complaint": "x" * 50_000})
    assert 2 == jobs.count()
    store.close()


def test_a_backup_without_room_leaves_nothing_behind(tmp_path: Path) -> None:
    """A backup that cannot be written is one sentence about it, and no half of it stays."""
    path = tmp_path / "s.db"
    begun(path)
    store = Store(path)
    kept = tmp_path / "moon" / "kept.db"
    with pytest.raises(StoreError) as refused:
        back_up(store, kept)
    store.close()
    assert (
        f"`{kept}` cannot be written (unable to open database file): nothing is backed up, name "
        "another place"
    ) == str(refused.value)
    assert not (tmp_path / "moon").exists()


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere"
)
def test_a_folder_that_may_only_be_read(tmp_path: Path) -> None:
    """A job that cannot be written is one sentence, and what is kept stays as it is."""
    path = tmp_path / "s.db"
    job = begun(path)
    before = path.read_bytes()
    tmp_path.chmod(0o500)
    path.chmod(0o400)
    try:
        with pytest.raises(StoreError):
            Jobs(Store(path), index_of).append(job, "remarked", {"text": "no"})
    finally:
        tmp_path.chmod(0o700)
        path.chmod(0o600)
    assert before == path.read_bytes()


def test_an_interrupted_migration_loses_nothing(tmp_path: Path) -> None:
    """Cut off after any step, the file is as it was, and the next opening does all of them."""
    path = tmp_path / "s.db"
    with sqlite3.connect(path, isolation_level=None) as raw:
        migrate(raw, path, MIGRATIONS[:4])
        raw.execute("insert into sessions (id, started, header, used) values ('a', 't', '{}', 1)")
        raw.execute("insert into events values ('a', 1, 't', 'noted', '{\"text\": \"x\"}')")
        raw.execute("pragma journal_mode = wal")
    raw.close()
    code = (
        "import os, sys, sqlite3\n"
        "from pathlib import Path\n"
        "from diag.store.schema import MIGRATIONS, migrate\n"
        "def cut(connection): os._exit(9)\n"
        "raw = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
        "migrate(raw, Path(sys.argv[1]), (*MIGRATIONS[:int(sys.argv[2])], cut))\n"
    )
    for steps in range(5, len(MIGRATIONS) + 1):
        killed = python(code, path, steps)
        killed.communicate(timeout=60)
        assert 9 == killed.returncode
        with sqlite3.connect(path) as raw:
            assert (4,) == raw.execute("pragma user_version").fetchone()
        raw.close()
    store = Store(path)
    assert ["x"] == [one.payload["text"] for one in store.events("a")]
    store.close()
    assert [] == faults_in(path)
