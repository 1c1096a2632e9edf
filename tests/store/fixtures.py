"""A server for all tests of a run, and a place for the records of each test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.store.places import Place
from tests.store.server import Server, why_not


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """Start a server, or skip with the reason where there is none."""
    if reason := why_not():
        pytest.skip(reason)
    started = Server()
    yield started
    started.close()


@pytest.fixture(params=["file", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Place:
    """Make a place for records of each kind."""
    if request.param == "file":
        return Place(tmp_path, None)
    return Place(tmp_path, request.getfixturevalue("server"))
