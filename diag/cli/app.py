"""The commands and their options; what a command does is imported only when it runs.

Numbers are text options: people write `12,4 V`, and a command line without number types starts
faster.
"""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.battery_app import register as register_battery
from diag.cli.bench_app import register
from diag.cli.guard import WrongUse, guarded
from diag.cli.rules_app import register as register_rules


def _group(help: str) -> typer.Typer:
    return typer.Typer(
        help=help,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        add_completion=False,
        no_args_is_help=True,
    )


app = _group("Find the fault in a fuel-burning warm-air heater, question by question.")
units_app = _group("List, show, begin and check unit files.")
app.add_typer(units_app, name="units")

Text = str | None
Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Rules = Annotated[
    Text, typer.Option("--rules", metavar="DIR", help="Use the rules in this folder instead.")
]


def _option(name: str, metavar: str, help: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(
        name, metavar=metavar, help=help, show_default=False
    )
    return option


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        from importlib.metadata import version as installed

        print(f"diag {installed('diag')}")
        raise typer.Exit


@app.command()
def ask(
    session: Annotated[
        Text, typer.Argument(metavar="[SESSION]", help="The session to go on with (--resume).")
    ] = None,
    unit: Annotated[Text, _option("--unit", "UNIT", "The unit under test.")] = None,
    complaint: Annotated[
        Text, _option("--complaint", "WORDS", "What the owner says is wrong.")
    ] = None,
    readings: Annotated[
        Text, _option("--readings", "FILE", "Take the answers from a file; - is standard input.")
    ] = None,
    as_json: Json = False,
    rules: Rules = None,
    resume: Annotated[
        bool, typer.Option("--resume", help="Go on with a session, the latest if none is named.")
    ] = False,
    list_open: Annotated[bool, typer.Option("--list", help="List the open sessions.")] = False,
    demo: Annotated[
        bool, typer.Option("--demo", help="An invented unit that brings its readings along.")
    ] = False,
    plain: Annotated[
        bool, typer.Option("--plain", help="No colour, no drawing: for screen readers and logs.")
    ] = False,
) -> None:
    """Work from a complaint to a proved repair."""
    with guarded():
        from diag.cli.ask import run_ask

        if session and not resume:
            raise WrongUse(f"to go on with a session, write `diag ask --resume {session}`")
        raise SystemExit(
            run_ask(
                unit=unit,
                complaint=complaint,
                readings=readings,
                as_json=as_json,
                rules=rules,
                resume=(session or "") if resume else None,
                list_open=list_open,
                demo=demo,
                plain=plain,
            )
        )


@units_app.command("list")
def units_list() -> None:
    """List the units that can be named, shipped and your own."""
    with guarded():
        from diag.cli.units import run_list

        raise SystemExit(run_list())


@units_app.command("show")
def units_show(name: Annotated[str, typer.Argument(metavar="UNIT")]) -> None:
    """Show a unit's data, and which of it is assumed."""
    with guarded():
        from diag.cli.units import run_show

        raise SystemExit(run_show(name))


@units_app.command("new")
def units_new(
    name: Annotated[str, typer.Argument(metavar="UNIT")],
    based_on: Annotated[
        Text, _option("--based-on", "UNIT", "Take what is not known yet from this unit.")
    ] = None,
) -> None:
    """Begin a unit file of your own."""
    with guarded():
        from diag.cli.units import run_new

        raise SystemExit(run_new(name, based_on=based_on))


@units_app.command("check")
def units_check(
    path: Annotated[
        Text, typer.Argument(metavar="[PATH]", help="All of yours if left out.")
    ] = None,
) -> None:
    """Check unit files, and tell every problem in them."""
    with guarded():
        from diag.cli.units import run_check

        raise SystemExit(run_check(path))


register_battery(app)
register(app)
register_rules(app)
