"""A PostgreSQL server of the tests' own, run by an unprivileged user on a local socket."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

KEEPER, BENCH, PASSWORD = "keeper", "van3", "invented for tests"
_LIKELY = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
_RULES = f"local all {KEEPER} trust\nlocal all all scram-sha-256\n"


def program(name: str) -> str | None:
    """Return the path of a program of the server, or nothing where it is not installed."""
    return shutil.which(
        name, path=os.pathsep.join([os.environ.get("PATH", ""), *map(str, _LIKELY)])
    )


def why_not() -> str:
    """Return why no server can be started here; empty where one can."""
    try:
        import psycopg  # noqa: F401
    except ImportError:
        return "the driver of PostgreSQL is not installed: pip install 'diag[shared]'"
    missing = [name for name in ("postgres", "initdb") if program(name) is None]
    return (
        f"no PostgreSQL server on this machine: {' and '.join(missing)} not found"
        if missing
        else ""
    )


class Server:
    """A server with its data in a folder of its own; it is stopped by `close`."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="diag-pg-"))
        self._as: dict[str, Any] = {}
        if os.geteuid() == 0:  # the server refuses to be run by root
            self._as = {"user": "nobody", "group": "nogroup", "extra_groups": []}
            shutil.chown(self.folder, "nobody", "nogroup")
        self._data = self.folder / "data"
        made = ["-U", KEEPER, "-E", "UTF8", "--locale=C", "--auth=trust", "--no-sync"]
        self._run(program("initdb"), "-D", str(self._data), *made)
        (self._data / "pg_hba.conf").write_text(_RULES)
        self._process: subprocess.Popen[bytes] | None = None
        self.start()
        with self.connection("postgres") as one:
            one.execute(f"create role {BENCH} login password '{PASSWORD}'")
        self._made, self._pattern = 0, ""

    def _run(self, *words: str | None) -> None:
        subprocess.run([str(word) for word in words], check=True, capture_output=True,
                       cwd=self.folder, **self._as)  # fmt: skip

    def start(self) -> None:
        """Start it, and wait until it answers."""
        words = [str(program("postgres")), "-D", str(self._data), "-k", str(self.folder),
                 "-c", "listen_addresses=", "-c", "logging_collector=off"]  # fmt: skip
        with (self.folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                words, stdout=log, stderr=log, cwd=self.folder, start_new_session=True, **self._as
            )
        end = time.monotonic() + 60
        while True:
            try:
                self.connection("postgres").close()
                return
            except Exception:
                if time.monotonic() > end or self._process.poll() is not None:
                    raise
                time.sleep(0.05)

    def connection(self, database: str) -> Any:
        """Return a connection as the one who keeps the server."""
        import psycopg

        return psycopg.connect(self.address(database, KEEPER), autocommit=True)

    def address(self, database: str, role: str = BENCH, password: str = PASSWORD) -> str:
        """Return the address of a database for a role."""
        from urllib.parse import quote

        word = "" if role == KEEPER else f":{quote(password)}"
        return f"postgresql://{role}{word}@{quote(str(self.folder), safe='')}/{database}"

    def prepared(self) -> str:
        """Make a database with the tables of a record, and return its name."""
        from diag.store.shared.prepared import admit, prepare

        if not self._pattern:
            self._pattern = self.empty()
            with self.connection(self._pattern) as one:
                prepare(one, self._pattern)
                admit(one, BENCH)
        return self.empty(self._pattern)

    def empty(self, pattern: str = "template1") -> str:
        """Make a database with nothing in it, or what another holds, and return its name."""
        self._made += 1
        with self.connection("postgres") as one:
            one.execute(f"create database record{self._made} template {pattern}")
        return f"record{self._made}"

    def stop(self, how: signal.Signals = signal.SIGINT) -> None:
        """Stop it at once; SIGKILL leaves it no time for anything."""
        assert self._process is not None
        if how == signal.SIGKILL:
            os.killpg(self._process.pid, how)  # all processes of this server, which started alone
        else:
            self._process.send_signal(how)
        self._process.wait(30)

    def close(self) -> None:
        """Stop it and remove its data."""
        if self._process is not None and self._process.poll() is None:
            self.stop(signal.SIGQUIT)
        shutil.rmtree(self.folder, ignore_errors=True)
