"""The options of `diag ask`; what it does is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import WrongUse, guarded
from diag.cli.options import Json, Plain, Text, commands, text_option

Rules = Annotated[
    Text, typer.Option("--rules", metavar="DIR", help="Use the rules in this folder instead.")
]

app = commands("ask")


@app.command()
def ask(
    session: Annotated[
        Text, typer.Argument(metavar="[SESSION]", help="The session to go on with (--resume).")
    ] = None,
    unit: Annotated[Text, text_option("--unit", "UNIT", "The unit under test.")] = None,
    complaint: Annotated[
        Text, text_option("--complaint", "WORDS", "What the owner says is wrong.")
    ] = None,
    readings: Annotated[
        Text,
        text_option("--readings", "FILE", "Take the answers from a file; - is standard input."),
    ] = None,
    profile: Annotated[
        Text, text_option("--profile", "NAME", "Who works where, as the rules name it.")
    ] = None,
    without: Annotated[
        Text, text_option("--without", "TOOLS", "Tools that are not there, commas between.")
    ] = None,
    job: Annotated[
        Text, text_option("--job", "JOB", "The job that it belongs to, with its unit.")
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
    without_record: Annotated[
        bool,
        typer.Option("--without-record", help="By the rules alone, whatever earlier jobs say."),
    ] = False,
    plain: Plain = False,
) -> None:
    """Work from a complaint to a proved repair."""
    with guarded():
        from diag.cli.ask.run import run_ask

        if session and not resume:
            raise WrongUse(f"to go on with a session, write `diag ask --resume {session}`")
        if job is not None and resume:
            raise WrongUse(f"to go on with the session of a job, write `diag ask --resume {job}`")
        raise SystemExit(
            run_ask(
                unit=unit,
                complaint=complaint,
                readings=readings,
                profile=profile,
                without=without,
                as_json=as_json,
                rules=rules,
                resume=(session or "") if resume else None,
                list_open=list_open,
                demo=demo,
                without_record=without_record,
                plain=plain,
                job=job,
            )
        )
