"""The options of `diag exhaust`."""

from __future__ import annotations

from diag.bench.exhaust.inputs import INPUTS
from diag.cli.bench.options import KEEP, Given, with_inputs
from diag.cli.options import commands

app = commands("exhaust")


def _run(given: Given, as_json: bool, keep: str | None) -> int:
    """Say from the exhaust gas how the fuel burns.

    Carbon monoxide, in the exhaust and in the cabin, is held against the limits.
    """
    from diag.cli.bench.exhaust import run_exhaust
    from diag.cli.bench.kept.keeping import keeper

    return run_exhaust(given, as_json=as_json, take=keeper(keep))


app.command()(with_inputs(INPUTS, _run, KEEP))
