"""Sessions kept on disk: every accepted event is committed before the caller goes on."""

from diag.store.errors import StoreError
from diag.store.sessions import SessionRow, Store, StoredEvent

__all__ = ["SessionRow", "Store", "StoreError", "StoredEvent"]
