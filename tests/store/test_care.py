"""The check finds what was changed, a backup comes back whole, and what is erased is gone."""

from __future__ import annotations

import random
import sqlite3
from pathlib import Path

import pytest

from diag.jobs.record import index_of
from diag.store import Store, StoreError
from diag.store.care import back_up, faults_in, mark_to_sweep, put_back, sum_file, sweep
from diag.store.jobs import Jobs
from diag.store.schema import MIGRATIONS
from tests.store.kept import PEOPLE, all_that_is_kept, filled


def told(path: Path) -> list[str]:
    try:
        return faults_in(path)
    except StoreError as refused:
        return [str(refused)]


def misfiled(path: Path) -> list[str]:
    store = Store(path)
    try:
        jobs = Jobs(store, index_of)
        rows = jobs.jobs(count=-1)
        return [row.id for row in rows if jobs.is_misfiled(row.id, jobs.entries(row.id))]
    finally:
        store.close()


def flipped(whole: bytes, chance: random.Random) -> bytes:
    at, bit = chance.randrange(len(whole)), chance.randrange(8)
    return whole[:at] + bytes([whole[at] ^ (1 << bit)]) + whole[at + 1 :]


@pytest.mark.parametrize("seed", range(3))
def test_every_flipped_bit_is_found(seed: int, tmp_path: Path) -> None:
    """Of 200 files with a bit turned over anywhere, used or not, each is told."""
    path, chance = tmp_path / "s.db", random.Random(seed)
    filled(path)
    whole = path.read_bytes()
    assert [] == faults_in(path)
    for _ in range(200):
        path.write_bytes(flipped(whole, chance))
        assert told(path)


def test_a_flipped_bit_is_not_forgotten(tmp_path: Path) -> None:
    """What is written later does not make a damaged file a sound one; what is put back does."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    filled(path)
    whole = path.read_bytes()
    at = whole.rindex(b"\0" * 64)  # nothing is written there
    path.write_bytes(whole[:at] + b"\1" + whole[at + 1 :])
    store = Store(path)
    store.create({"unit": "kettle"})
    back_up(store, kept)
    store.close()
    changed = "it is not as it was left when it was last closed: a bit of it was changed"
    assert [changed] == faults_in(path)
    put_back(path, kept)
    assert [] == faults_in(path)


def test_the_sum_keeps_up_with_all_who_write(tmp_path: Path) -> None:
    """Windows that open and close in any order, or forget to, leave a file that is sound."""
    path, chance = tmp_path / "s.db", random.Random(5)
    filled(path)
    stores: list[Store] = []
    for _ in range(60):
        if stores and chance.random() < 0.5:
            chance.shuffle(stores)
            if chance.random() < 0.5:
                stores[-1].close()
            stores.pop()
        else:
            stores.append(Store(path))
        for number in range(len(stores)):
            if chance.random() < 0.5:
                stores[number].create({"unit": "kettle"})
        assert [] == faults_in(path)
    stores.clear()
    assert [] == faults_in(path)
    assert path.with_name("s.db.sum").exists()


@pytest.mark.parametrize("seed", range(2))
def test_a_flipped_bit_is_found_without_the_sum(seed: int, tmp_path: Path) -> None:
    """Where no sum of the file is left, each flip is told, or all is said that was said before."""
    path, chance = tmp_path / "s.db", random.Random(seed)
    filled(path)
    whole, before = path.read_bytes(), all_that_is_kept(path)
    for number in range(200):
        spoilt = tmp_path / f"{number}.db"
        spoilt.write_bytes(flipped(whole, chance))
        if not told(spoilt):
            assert misfiled(spoilt) or before == all_that_is_kept(spoilt)


@pytest.mark.parametrize("table", ["events", "job_entries", "sessions", "jobs"])
def test_a_letter_that_became_another_is_found(table: str, tmp_path: Path) -> None:
    """SQLite itself finds nothing wrong with another letter in a text; the sum of its row does."""
    path = tmp_path / "s.db"
    filled(path)
    column = {"events": "at", "job_entries": "payload", "sessions": "header"}.get(table, "opened")
    with sqlite3.connect(path) as raw:
        raw.execute(f"update {table} set {column} = {column} || ' '")
        assert ("ok",) == raw.execute("pragma integrity_check").fetchone()
    raw.close()
    assert any("not as it was written" in fault for fault in faults_in(path))


def test_every_flipped_bit_of_a_backup_is_found(tmp_path: Path) -> None:
    """A backup has its SHA-256 beside it, as other programs check it, so nothing goes unseen."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    filled(path)
    store = Store(path)
    back_up(store, kept)
    store.close()
    assert [] == faults_in(kept)
    whole, chance = kept.read_bytes(), random.Random(7)
    for _ in range(150):
        kept.write_bytes(flipped(whole, chance))
        assert told(kept)


def test_a_backup_holds_what_was_kept_while_another_writes(tmp_path: Path) -> None:
    """It is a file by itself that comes back with all that was there, and nothing of later."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    jobs_then = filled(path)
    before = all_that_is_kept(path)
    store, other = Store(path), Store(path)
    back_up(store, kept)
    later = other.create({"unit": "kettle"})
    store.close()
    other.close()
    with pytest.raises(StoreError, match=r"kept.db` is there already: name another file"):
        back_up(Store(path), kept)
    away = put_back(path, kept)
    assert before == all_that_is_kept(path)
    assert away is not None
    assert later in [row.id for row, _ in all_that_is_kept(away)[0]]
    assert 2 == len(jobs_then)


def test_a_backup_takes_the_place_of_a_damaged_file(tmp_path: Path) -> None:
    """The damaged file is moved aside, and what was backed up is there again."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    filled(path)
    before = all_that_is_kept(path)
    store = Store(path)
    back_up(store, kept)
    store.close()
    spoilt = path.read_bytes()[:5000] + b"moon" * 2000
    path.write_bytes(spoilt)
    away = put_back(path, kept)
    assert before == all_that_is_kept(path)
    assert away is not None
    assert spoilt == away.read_bytes()


def test_a_damaged_or_newer_backup_changes_nothing(tmp_path: Path) -> None:
    """What is kept stays as it is where the backup is not sound, or is of a newer version."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    filled(path)
    store = Store(path)
    back_up(store, kept)
    store.close()
    before, whole = all_that_is_kept(path), kept.read_bytes()
    kept.write_bytes(whole[:-4096])
    with pytest.raises(StoreError, match=r"kept.db` is not put back, .*: name another backup"):
        put_back(path, kept)
    kept.write_bytes(whole)
    sum_file(kept).unlink()
    with sqlite3.connect(kept) as raw:
        raw.execute(f"pragma user_version = {len(MIGRATIONS) + 1}")
    raw.close()
    with pytest.raises(StoreError, match="was written by a newer version"):
        put_back(path, kept)
    assert before == all_that_is_kept(path)


def traces(folder: Path, words: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return each file that holds one of some words anywhere in its bytes or name."""
    found = []
    for file in sorted(folder.rglob("*")):
        data = file.read_bytes() if file.is_file() else b""
        found += [
            (str(file.relative_to(folder)), word)
            for word in words
            if word.encode() in data or word in file.name
        ]
    return found


@pytest.mark.parametrize("close_first", [True, False])
def test_what_is_erased_leaves_no_byte(close_first: bool, tmp_path: Path) -> None:
    """No name, lower-cased or not, is left in the file, its log, its index or its locks."""
    path = tmp_path / "s.db"
    gone, stays = filled(path)
    names = (PEOPLE[0], PEOPLE[0].lower(), "Appleyard", "appleyard")
    assert traces(tmp_path, names)
    store = Store(path)
    jobs = Jobs(store, index_of)
    jobs.append(gone, "labelled", {"customer": f"{PEOPLE[0]} and son"})
    jobs.append(stays, "remarked", {"text": "another one"})
    store.lock(jobs.sessions(gone)[0].id).release()
    if close_first:
        store.close()
        store = Store(path)
        jobs = Jobs(store, index_of)
    mark_to_sweep(store)
    jobs.remove(gone)
    assert sweep(store)
    assert [] == traces(tmp_path, (*names, gone))
    store.close()
    assert [] == traces(tmp_path, (*names, gone))
    assert traces(tmp_path, (PEOPLE[1],))
    assert [] == faults_in(path)


def test_traces_are_swept_once_nobody_reads(tmp_path: Path) -> None:
    """While another reads an older state it is said that traces are left, and later they go."""
    path = tmp_path / "s.db"
    gone, _ = filled(path)
    reader = sqlite3.connect(path, isolation_level=None)
    store = Store(path)
    store.rows("pragma busy_timeout = 50")
    jobs = Jobs(store, index_of)
    reader.execute("begin")
    reader.execute("select count(*) from jobs").fetchone()
    mark_to_sweep(store)
    jobs.remove(gone)
    assert not sweep(store)
    reader.execute("commit")
    reader.close()
    assert sweep(store)
    assert [] == traces(tmp_path, (PEOPLE[0],))
    store.close()


def test_a_job_whose_session_is_open_elsewhere_is_not_erased(tmp_path: Path) -> None:
    """Another window may be writing to it: it is refused in a sentence, and all of it stays."""
    path = tmp_path / "s.db"
    job, _ = filled(path)
    store = Store(path)
    jobs = Jobs(store, index_of)
    before = all_that_is_kept(path)
    with (
        Store(path).lock(jobs.sessions(job)[0].id),
        pytest.raises(StoreError, match="is open in another window"),
    ):
        jobs.remove(job)
    assert before == all_that_is_kept(path)


def test_the_check_finds_a_job_that_is_filed_wrongly(tmp_path: Path) -> None:
    """What a job is found by follows from its entries; where it does not, that is told."""
    path = tmp_path / "s.db"
    job, _ = filled(path)
    with sqlite3.connect(path) as raw:
        raw.execute("update jobs set tag = 'LIB-99' where id = ?", (job,))
    raw.close()
    assert [job] == misfiled(path)


def test_a_newer_file_is_refused_untouched(tmp_path: Path) -> None:
    """Not a byte of a file of a newer version changes, and opening it leaves nothing beside it."""
    path = tmp_path / "s.db"
    filled(path)
    with sqlite3.connect(path) as raw:
        raw.execute(f"pragma user_version = {len(MIGRATIONS) + 1}")
    raw.close()
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir() if file.is_file()}
    with pytest.raises(StoreError, match="was written by a newer version"):
        Store(path)
    after = {file.name: file.read_bytes() for file in tmp_path.iterdir() if file.is_file()}
    assert before == after
    with pytest.raises(StoreError, match="was written by a newer version"):
        faults_in(path)
    assert before[path.name] == path.read_bytes()


def test_words_that_no_database_stores_are_no_damage(tmp_path: Path) -> None:
    """A job with a NUL in a text, or with more words than a row holds, is filed as it should be."""
    path = tmp_path / "s.db"
    filled(path)
    store = Store(path)
    jobs = Jobs(store, index_of)
    jobs.open("opened", {"unit": "kettle", "complaint": "c\0ld \ud800", "label": {}})
    jobs.open("opened", {"unit": "kettle", "complaint": "cold " * 40_000, "label": {}})
    store.close()
    assert [] == misfiled(path)


@pytest.mark.parametrize("spoilt", [False, True])
def test_nothing_is_put_back_under_an_open_session(spoilt: bool, tmp_path: Path) -> None:
    """A window that has a session open would lose it: that is said, and nothing is changed."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    filled(path)
    store = Store(path)
    back_up(store, kept)
    session = store.create({"unit": "kettle"})
    before = all_that_is_kept(path)
    if spoilt:
        path.with_name("s.db.sum").write_text("00000000\n")
        assert faults_in(path)
    with (
        store.lock(session),
        pytest.raises(StoreError, match=f"session `{session}` is open in another window"),
    ):
        put_back(path, kept)
    assert before == all_that_is_kept(path)
    store.close()
    put_back(path, kept)
    assert session not in [row.id for row, _ in all_that_is_kept(path)[0]]


@pytest.mark.parametrize(("text", "told"), [
    (b"", "it is empty"), (b"kettles\n" * 99, "it is not a file of stored sessions"),
])  # fmt: skip
def test_what_is_no_backup_is_not_put_back(text: bytes, told: str, tmp_path: Path) -> None:
    """An empty file, or another one, takes the place of nothing."""
    path, kept = tmp_path / "s.db", tmp_path / "kept.db"
    filled(path)
    before = all_that_is_kept(path)
    kept.write_bytes(text)
    with pytest.raises(StoreError) as refused:
        put_back(path, kept)
    assert f"`{kept}` is not put back, {told}: name another backup" == str(refused.value)
    assert before == all_that_is_kept(path)


def test_a_file_whose_log_was_half_taken_in_is_whole(tmp_path: Path) -> None:
    """Where a full disk cut the file off in a page, its log still holds it: nothing is damaged."""
    path, cut = tmp_path / "s.db", tmp_path / "cut.db"
    filled(path)
    store = Store(path)
    session = store.create({"unit": "kettle"})
    store.append(session, "noted", {"text": "x" * 20_000})
    cut.write_bytes(path.read_bytes() + b"\0" * 100)
    wal = path.with_name("s.db-wal").read_bytes()
    store.close()
    cut.with_name("cut.db-wal").write_bytes(wal)
    whole = all_that_is_kept(path)
    assert whole == all_that_is_kept(cut)
    assert [] == faults_in(cut)
    cut.write_bytes(cut.read_bytes() + b"\0" * 100)
    assert "it was cut off in the middle of a page" in faults_in(cut)
