"""The options of the `diag jobs` commands by which many benches keep one record."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.jobs.options import app
from diag.cli.options import Text, text_option

__all__ = ["app"]


@app.command("export")
def export_to_file(
    names: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB]...", help="Jobs or sessions; everything if left out."),
    ] = None,
    output: Annotated[Text, text_option("--output", "FILE", "Write to this new file.")] = None,
    without_people: Annotated[
        bool, typer.Option("--without-people", help="Leave out what may name somebody.")
    ] = False,
) -> None:
    """Write jobs as lines of JSON, for another bench or a colleague."""
    with guarded():
        from diag.cli.jobs.exchange import export_jobs

        raise SystemExit(export_jobs(names or [], output, people=not without_people))


@app.command("import")
def import_from_files(
    files: Annotated[
        list[str],
        typer.Argument(metavar="FILE...", help="What export wrote; - is standard input."),
    ],
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Take in what was erased here before, too.")
    ] = False,
) -> None:
    """Take in what other benches exported; what is known changes nothing."""
    with guarded():
        from diag.cli.jobs.exchange import import_jobs

        raise SystemExit(import_jobs(files, anyway=anyway))


@app.command()
def prepare(
    roles: Annotated[
        list[str] | None,
        typer.Argument(metavar="[NAME]...", help="Names under which benches log in."),
    ] = None,
) -> None:
    """Make or bring up to date the shared record at DIAG_STORE, and let benches in."""
    with guarded():
        from diag.cli.jobs.shared import prepare_server

        raise SystemExit(prepare_server(roles or []))


@app.command()
def merge() -> None:
    """Bring what this bench kept while the shared record was out of reach into it."""
    with guarded():
        from diag.cli.jobs.shared import merge_now

        raise SystemExit(merge_now())
