"""The same tests for every database that keeps a record."""

from tests.store.fixtures import place, server

__all__ = ["place", "server"]
