"""The store of the user's data folder."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diag.cli.places import data_folder, sessions_file

if TYPE_CHECKING:  # nothing is stored before the first question is answered
    from diag.store import Store


def open_store() -> Store:
    """Open the store, its folder made if need be; `StoreError` where it cannot be."""
    from diag.store import Store, StoreError

    folder = data_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"the data folder `{folder}` cannot be made ({error.strerror}); set DIAG_HOME to a "
            "folder that can be written to"
        ) from None
    return Store(sessions_file())
