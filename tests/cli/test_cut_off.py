"""A session at the keyboard whose server goes away: it is told plainly, and goes on."""

from __future__ import annotations

import os
import signal
from contextlib import closing
from pathlib import Path

import pytest

from diag.store import Store
from tests.cli.test_keyboard import HERE, Terminal
from tests.store.places import opened
from tests.store.server import Server, why_not


@pytest.mark.skipif(os.name != "posix", reason="a terminal of its own is needed")
def test_a_server_that_goes_in_mid_session_is_told_on_the_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The screen says where the answers go, the session goes on, and the next start merges it."""
    if reason := why_not():
        pytest.skip(reason)
    server = Server()
    try:
        address = server.address(server.prepared())
        monkeypatch.setenv("DIAG_STORE", address)
        begun = ("--unit", "small 12 V", "--complaint", "does not start")
        terminal = Terminal(tmp_path, "ask", *HERE, *begun)
        terminal.wait_for("> ")
        with closing(opened(address)) as store:
            (row,) = store.sessions()
        terminal.send(b"note before\r")
        terminal.wait_for("> ", after="note before")
        server.stop(signal.SIGKILL)
        terminal.send(b"note after\r")
        terminal.wait_for("is out of reach", after="note after")
        terminal.wait_for("nothing is lost", after="is out of reach")
        terminal.wait_for("> ", after="next start that reaches it")
        terminal.kill()
        server.start()
        terminal = Terminal(tmp_path, "ask", "--resume", row.id)
        terminal.wait_for("nothing is lost")
        terminal.wait_for("> ", after=f"Session {row.id}")
        terminal.kill()
        with closing(opened(address)) as store:
            said = [event.payload.get("text") for event in store.events(row.id)]
        assert ["before", "after"] == [text for text in said if text]
    finally:
        server.close()
    with closing(Store(tmp_path / "apart.db")) as own:
        assert () == own.sessions()
