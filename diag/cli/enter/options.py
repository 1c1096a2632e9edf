"""The options of `diag enter`; what it does is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import WrongUse, guarded
from diag.cli.options import Plain, Text, commands, text_option

app = commands("enter")


@app.command()
def enter(
    session: Annotated[
        Text, typer.Argument(metavar="[SESSION]", help="The session to go on with (--resume).")
    ] = None,
    unit: Annotated[Text, text_option("--unit", "UNIT", "The unit on the sheet.")] = None,
    complaint: Annotated[
        Text, text_option("--complaint", "WORDS", "The complaint on the sheet.")
    ] = None,
    customer: Annotated[Text, text_option("--customer", "NAME", "Whose heater it is.")] = None,
    vehicle: Annotated[Text, text_option("--vehicle", "NAME", "In which vehicle.")] = None,
    tag: Annotated[Text, text_option("--tag", "TAG", "The tag of the heater.")] = None,
    serial: Annotated[Text, text_option("--serial", "NUMBER", "Its serial number.")] = None,
    readings: Annotated[
        Text,
        text_option("--readings", "FILE", "Take the readings from a file; - is standard input."),
    ] = None,
    resume: Annotated[
        bool, typer.Option("--resume", help="Go on with a sheet, the latest if none is named.")
    ] = False,
    plain: Plain = False,
) -> None:
    """Type in a bench sheet that was filled in by hand.

    It asks for each box in the order of the sheet. Enter alone leaves a box open.
    """
    with guarded():
        from diag.cli.enter.run import Asked, run_enter

        if session and not resume:
            raise WrongUse(f"to go on with a sheet, write `diag enter --resume {session}`")
        label = {"customer": customer, "vehicle": vehicle, "tag": tag, "serial": serial}
        said = Asked(unit, complaint, {name: text for name, text in label.items() if text})
        going_on = (session or "") if resume else None
        raise SystemExit(run_enter(said, readings=readings, resume=going_on, plain=plain))
