"""The options of `diag heat` and `diag heat compare`."""

from __future__ import annotations

from inspect import Parameter
from typing import Annotated

import typer

from diag.bench.heat.inputs import COMPARED, ERRORS, INPUTS, RUNS_FILE, WANTED_HEAT
from diag.cli.bench.options import KEEP, Given, with_inputs
from diag.cli.options import commands


def _heat(given: Given, as_json: bool, context: typer.Context, keep: str | None) -> int | None:
    """Weigh the heat in the air against the heat in the fuel.

    A reading may carry its own error: --speed '12.5 m/s +- 2 %'.
    """
    if context.invoked_subcommand is not None:
        return None  # it is `compare` that runs
    from diag.cli.bench.heat import run_heat
    from diag.cli.bench.kept.keeping import keeper

    return run_heat(given, as_json=as_json, take=keeper(keep))


def _compare(given: Given, as_json: bool, runs: list[str] | None) -> int:
    """Set runs or heaters side by side for the same heat: fuel, current, noise.

    A run is a name and one or more levels with heat, fuel, current and, if known, noise:
    'ROAD-07: 2 kW 0.27 l/h 1.5 A 45 dB; 5 kW 0.65 l/h 4 A 60 dB'.
    """
    from diag.cli.bench.compare import run_compare

    errors = {each.name: given[each.option] for each in ERRORS if each.option in given}
    return run_compare(
        tuple(runs or ()),
        file=given.get(RUNS_FILE.option),
        wanted=given.get(WANTED_HEAT.option),
        as_json=as_json,
        errors=errors,
    )


RUNS = Annotated[
    list[str] | None,
    typer.Argument(metavar="[RUN]...", help="'LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB; ...'"),
]
app = commands("heat", help=_heat.__doc__, bare_is_help=False)
app.callback(invoke_without_command=True)(
    with_inputs(
        INPUTS,
        _heat,
        {"context": Parameter("context", Parameter.KEYWORD_ONLY, annotation=typer.Context), **KEEP},
    )
)
app.command("compare")(
    with_inputs(
        COMPARED,
        _compare,
        {"runs": Parameter("runs", Parameter.KEYWORD_ONLY, default=None, annotation=RUNS)},
    )
)
