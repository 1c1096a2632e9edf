"""The options of `diag jobs`; what its commands do is imported only when they run."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Text, commands, text_option

app = commands("jobs", "What was done for each owner: kept, found again, handed over.")


@app.command("export")
def jobs_export(
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
def jobs_import(
    files: Annotated[list[str], typer.Argument(metavar="FILE...", help="What export wrote.")],
) -> None:
    """Take in what other benches exported; what is known changes nothing."""
    with guarded():
        from diag.cli.jobs.exchange import import_jobs

        raise SystemExit(import_jobs(files))
