"""`--keep`: what a bench sum says becomes a remark in a session."""

from __future__ import annotations

from contextlib import closing

from diag.cli.bench.kept.outcome import BenchOutcome, Take
from diag.cli.bench.screen import tell
from diag.cli.guard import WrongUse
from diag.cli.places import sessions_file
from diag.cli.stored import open_store, shared_address


def keeper(session: str | None) -> Take | None:
    """Return what keeps a sum with a session, nothing where none is named.

    Raises `StoreError` at once for a session that there is not.
    """
    if session is None:
        return None
    if not (shared_address() or sessions_file().exists()):
        raise WrongUse(f"there is no session `{session[:40]}`; `diag ask` begins one")
    with closing(open_store()) as store:
        name = store.session(session).id

    def take(outcome: BenchOutcome) -> None:
        from diag.session.journal.events import Noted, as_record
        from diag.store.sessions import utc_now

        with closing(open_store()) as store, store.lock(name):
            store.append(name, *as_record(Noted(outcome.remark, utc_now())))
        tell(f"Kept as a remark in session {name}.")

    return take
