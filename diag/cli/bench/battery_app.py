"""The options of `diag battery`."""

from __future__ import annotations

from diag.bench.battery.inputs import INPUTS, LOAD_POINT
from diag.cli.bench.options import KEEP, Given, with_inputs
from diag.cli.options import commands

app = commands("battery")


def _run(given: Given, as_json: bool, keep: str | None) -> int:
    """Say from a load test if the supply holds an ignition.

    With more readings: how cold and empty it may get, and how many starts and hours it carries.
    """
    from diag.cli.bench.battery import run_battery
    from diag.cli.bench.kept.keeping import keeper

    texts = {option: text for option, text in given.items() if option != LOAD_POINT.option}
    more = given.get(LOAD_POINT.option, ())
    return run_battery(texts, as_json=as_json, points=more, take=keeper(keep))


app.command()(with_inputs(INPUTS, _run, KEEP))
