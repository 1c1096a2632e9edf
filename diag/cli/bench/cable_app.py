"""The options of `diag cable`."""

from __future__ import annotations

from diag.bench.cable.inputs import INPUTS
from diag.cli.bench.options import KEEP, Given, with_inputs
from diag.cli.options import commands

app = commands("cable")


def _run(given: Given, as_json: bool, keep: str | None) -> int:
    """Say what a supply cable loses, where, and what size it needs.

    A reading may carry its own error: --ignition-amps '9.5 A +- 2 %'.
    """
    from diag.cli.bench.cable import run_cable
    from diag.cli.bench.kept.keeping import keeper

    return run_cable(given, as_json=as_json, take=keeper(keep))


app.command()(with_inputs(INPUTS, _run, KEEP))
