"""The file as a whole: looked through, backed up, put back, and swept of what was erased."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, closing, suppress
from pathlib import Path
from typing import Any

from diag.store.errors import HeldElsewhere, StoreError, in_a_sentence, is_damage, told_plainly
from diag.store.file import readable_text
from diag.store.schema import SUMMED, is_cut_off, refuse_what_is_not_ours
from diag.store.sessions import Store
from diag.store.sums import sum_of
from diag.store.whole import WholeSum

MOST_TOLD = 8
"""Faults of one kind that are told one by one."""
_OWNERS = {"events": "session", "job_entries": "job", "sessions": "id", "jobs": "id"}
"""Table to the column that says to which session or job a row belongs."""
_KEYS = {
    "events": ("session", "number"),
    "job_entries": ("job", "number", "uid"),
    "sessions": ("id",),
    "jobs": ("id",),
}
"""Table to the columns that tell its rows apart."""
AT_ONCE = 5000
"""Rows that are asked of a server at once."""
_ROWS = {
    "events": "an entry of session",
    "job_entries": "an entry of job",
    "sessions": "session",
    "jobs": "job",
}


def faults_in(path: Path) -> list[str]:
    """Return what is not as it was written in a file of sessions, in words; nothing is changed.

    SQLite looks at pages, keys and indexes; the sums of the rows find what it cannot, such as a
    letter that became another. `StoreError` where the file cannot be opened at all, or is of
    another program or a newer version.
    """
    if not path.is_file():
        raise StoreError(f"there is no file `{path}`")
    with told_plainly(path):
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)
    with closing(connection):
        connection.text_factory = readable_text
        try:
            refuse_what_is_not_ours(connection, path)
            return list(_faults(connection, path))
        except UnicodeDecodeError:  # what SQLite says of a damaged table names its bytes
            return ["it is damaged"]
        except sqlite3.Error as error:
            told = in_a_sentence(error, path)
            if not is_damage(error):
                raise StoreError(told) from error
            return [f"it {told.removeprefix(f'`{path}` ').partition(':')[0]}"]


def _faults(connection: sqlite3.Connection, path: Path) -> Iterator[str]:
    if not path.stat().st_size:
        yield "it is empty"
    for (found,) in connection.execute(f"pragma integrity_check({MOST_TOLD})").fetchall():
        if found != "ok":
            yield f"SQLite finds: {' '.join(str(found).split())}"
    if is_cut_off(connection, path):
        yield "it was cut off in the middle of a page"
    if not _as_listed(path):
        yield f"it is not the file whose SHA-256 stands in `{sum_file(path).name}`"
    if not WholeSum(path).holds():
        yield "it is not as it was left when it was last closed: a bit of it was changed"
    for table, _, other, _ in connection.execute("pragma foreign_key_check").fetchmany(MOST_TOLD):
        yield f"a row of `{table}` belongs to a row of `{other}` that is not there"
    yield from _changed(connection)


def _changed(connection: sqlite3.Connection) -> Iterator[str]:
    """Tell rows that are no longer what their sums were made of."""
    tables = {name for (name,) in connection.execute("select name from sqlite_master")}
    for table in SUMMED:
        names = {row[1] for row in connection.execute(f"pragma table_info({table})")}
        if table not in tables or "sum" not in names:
            continue  # written by an earlier version
        yield from _told(table, connection.execute(f"{_summed(table)} from {table}"))


def _summed(table: str) -> str:
    return f"select {_OWNERS[table]}, sum, {', '.join(SUMMED[table])}"


def _told(table: str, found: Iterable[Sequence[Any]]) -> Iterator[str]:
    """Tell rows of a table, each with its owner, its sum and what that is of, that are not so."""
    wrong = [str(row[0]) for row in found if row[1] != sum_of(*row[2:])]
    for name in dict.fromkeys(wrong[:MOST_TOLD]):
        yield f"{_ROWS[table]} `{name}` is not as it was written"
    if len(wrong) > MOST_TOLD:
        yield f"{len(wrong) - MOST_TOLD} more rows of `{table}` are not as they were written"


def faults_at_server(store: Store) -> Iterator[str]:
    """Yield what is not as it was written in a record at a server, as far as a bench can see."""
    for table in SUMMED:
        yield from _told(table, _in_pages(store, table))


def _in_pages(store: Store, table: str) -> Iterator[Sequence[Any]]:
    """Yield the rows of a table by its key, so many at once: no answer is to take long."""
    key = _KEYS[table]
    keys, marks = ", ".join(key), ", ".join("?" * len(key))
    beyond, values = "", ()
    while True:
        page = store.rows(
            f"{_summed(table)}, {keys} from {table} {beyond} order by {keys} limit ?",
            (*values, AT_ONCE),
        )
        yield from (row[: -len(key)] for row in page)
        if len(page) < AT_ONCE:
            return
        beyond, values = f"where ({keys}) > ({marks})", tuple(page[-1][-len(key) :])


def sum_file(path: Path) -> Path:
    """Return the file beside a backup that says its SHA-256, as `sha256sum -c` reads it."""
    return path.with_name(f"{path.name}.sha256")


def _as_listed(path: Path) -> bool:
    """Tell whether a file is the one whose sum stands beside it, where one does."""
    with suppress(OSError, UnicodeDecodeError):
        return sum_file(path).read_text(encoding="utf-8").split()[:1] == [sha256_of(path)]
    return True


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file in hexadecimal digits; `OSError` where it cannot be read."""
    from hashlib import file_digest

    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def back_up(store: Store, target: Path) -> None:
    """Write all that is kept into a new file, as it stands at one moment, and its sum beside it.

    Others may go on writing meanwhile. `StoreError` where there is such a file, or no room.
    """
    if target.exists():
        raise StoreError(f"`{target}` is there already: name another file")
    fresh = target.with_name(f"{target.name}.{os.getpid()}")
    try:
        with closing(sqlite3.connect(fresh)) as copy:
            store.copy_to(copy)
            copy.execute("pragma journal_mode = delete")
        if faults := faults_in(fresh):
            raise StoreError(f"of `{store.path}` {faults[0]}: nothing is backed up")
        with told_plainly(target):
            text = f"{sha256_of(fresh)}  {target.name}\n"
            sum_file(target).write_text(text, encoding="utf-8")
            fresh.replace(target)
    except sqlite3.Error as error:
        raise StoreError(
            f"`{target}` cannot be written ({error}): nothing is backed up, name another place"
        ) from error
    finally:
        fresh.unlink(missing_ok=True)


def put_back(path: Path, source: Path) -> Path | None:
    """Put a backup in the place of the file of sessions; return where that is kept now, if it was.

    A backup that is damaged is refused, and nothing is changed. `StoreError` as well where another
    program is writing, or a window has a session open, which would lose its ground.
    """
    if faults := faults_in(source):
        raise StoreError(f"`{source}` is not put back, {faults[0]}: name another backup")
    kept = path.with_name(f"{path.stem}-before-{os.getpid()}{path.suffix}")
    with told_plainly(path):
        path.parent.mkdir(parents=True, exist_ok=True)
    WholeSum(path).forget()
    if not path.exists():
        _copied(source, path)
        return None
    try:
        with closing(Store(path)) as store, ExitStack() as holds:
            for row in store.sessions(open_only=True):
                holds.enter_context(store.lock(row.id))
            back_up(store, kept)
            with told_plainly(path), closing(sqlite3.connect(source)) as copy:
                store.copy_from(copy)
    except StoreError as refused:
        if isinstance(refused, HeldElsewhere) or not faults_in(path):
            raise
        _moved_aside(path, kept)
        _copied(source, path)
    return kept


def _copied(source: Path, path: Path) -> None:
    fresh = path.with_name(f"{path.name}.{os.getpid()}")
    with told_plainly(path):
        fresh.write_bytes(source.read_bytes())
        with fresh.open("rb+") as file:
            os.fsync(file.fileno())
        fresh.replace(path)


def _moved_aside(path: Path, kept: Path) -> None:
    """Move a damaged file away, with what SQLite keeps beside it."""
    sum_file(kept).unlink(missing_ok=True)
    for beside in ("", "-wal", "-shm"):
        with told_plainly(path), suppress(FileNotFoundError):
            path.with_name(path.name + beside).replace(kept.with_name(kept.name + beside))


def _to_sweep(store: Store) -> Path:
    return store.path.with_name(f"{store.path.name}.sweep")


def mark_to_sweep(store: Store) -> None:
    """Note that something is about to be erased, so that a kill leaves no trace of it for long."""
    if store.in_file:
        with told_plainly(store.path):
            _to_sweep(store).touch()


def sweep(store: Store) -> bool:
    """Clear away what the file still holds of what was erased; return whether all of it is gone.

    It is not while another window reads; then this is to be called again.
    """
    if not store.in_file or not _to_sweep(store).exists():
        return True
    store.rows("pragma temp_store = memory")
    store.rows("vacuum")
    swept = store.settle()
    if swept:
        _to_sweep(store).unlink(missing_ok=True)
    return swept
