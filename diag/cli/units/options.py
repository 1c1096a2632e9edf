"""The commands about units and their options; each is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Plain, Text, commands, text_option

app = commands("units", "List, show, begin and check unit files.")


@app.command("list")
def units_list(plain: Plain = False) -> None:
    """List the units that can be named, shipped and your own."""
    with guarded():
        from diag.cli.units.run import list_units

        raise SystemExit(list_units(plain))


@app.command("show")
def units_show(
    name: Annotated[str, typer.Argument(metavar="UNIT", help="A unit by its name.")],
    plain: Plain = False,
) -> None:
    """Show a unit's data, and which of it is assumed."""
    with guarded():
        from diag.cli.units.run import show_unit

        raise SystemExit(show_unit(name, plain))


@app.command("new")
def units_new(
    name: Annotated[str, typer.Argument(metavar="UNIT", help="Its name, as on its label.")],
    based_on: Annotated[
        Text, text_option("--based-on", "UNIT", "Take what is not known yet from this unit.")
    ] = None,
) -> None:
    """Begin a unit file of your own."""
    with guarded():
        from diag.cli.units.run import new_unit

        raise SystemExit(new_unit(name, based_on=based_on))


@app.command("check")
def units_check(
    path: Annotated[
        Text, typer.Argument(metavar="[PATH]", help="All of yours if left out.")
    ] = None,
) -> None:
    """Check unit files, and tell every problem in them."""
    with guarded():
        from diag.cli.units.run import check_units

        raise SystemExit(check_units(path))
