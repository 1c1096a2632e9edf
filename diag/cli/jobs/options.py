"""The options of `diag jobs`; what its commands do is imported only when they run."""

from __future__ import annotations

from diag.cli.guard import guarded
from diag.cli.options import Json, Plain, commands

app = commands("jobs", "Keep jobs, find them, read them again and keep them safe.")


@app.callback()
def _group() -> None:
    """Keep the commands a group while there is but one."""


@app.command()
def calibration(as_json: Json = False, plain: Plain = False) -> None:
    """Tell how often verdicts were right, as sure as they were."""
    with guarded():
        from diag.cli.jobs.calibration import run_calibration

        raise SystemExit(run_calibration(as_json, plain))
