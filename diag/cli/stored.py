"""The store of the user's data folder."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from diag.cli.places import data_folder, sessions_file

if TYPE_CHECKING:  # nothing is stored before the first question is answered
    from diag.store import Store
    from diag.store.jobs import Jobs


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


@contextmanager
def open_jobs() -> Iterator[Jobs]:
    """Open the jobs of the user's store; what was to be swept out of it before is swept now."""
    from diag.store.care import sweep

    with closing(open_store()) as store:
        sweep(store)
        yield jobs_of(store)


def jobs_of(store: Store) -> Jobs:
    """Return the jobs of a store."""
    from diag.jobs.record import index_of
    from diag.store.jobs import Jobs

    return Jobs(store, index_of)
