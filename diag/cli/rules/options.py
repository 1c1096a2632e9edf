"""The commands about rules and their options; each is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Json, Markdown, Plain, Text, commands, text_option

Folder = Annotated[
    Text, typer.Argument(metavar="[DIR]", help="A folder of rules; the shipped ones if left out.")
]
LintName = Annotated[
    Text, typer.Argument(metavar="[LINT]", help="A lint by name or code; all if left out.")
]
CasePath = Annotated[
    Text, typer.Argument(metavar="[PATH]", help="A file or folder of cases; all if left out.")
]
Processes = Annotated[
    Text,
    typer.Option("--processes", metavar="N", help="How many at once; all processors if left out."),
]
EntryName = Annotated[str, typer.Argument(metavar="ID", help="A cause, sign, finding, figure ...")]
ComplaintWords = Annotated[str, typer.Argument(metavar="COMPLAINT", help="What the owner says.")]
ForUnit = Annotated[
    Text,
    typer.Option("--unit", metavar="UNIT", help="For this unit; the first if left out."),
]
Depth = Annotated[
    str, typer.Option("--depth", metavar="N", help="How many checks deep, after the first looks.")
]
Least = Annotated[
    str,
    typer.Option(
        "--least",
        metavar="PERCENT",
        help="Leave out what fewer heaters reach.",
    ),
]


app = commands("rules", "Check, try, read and add to the rules.")
sequence_app = commands("sequence")


@app.command()
def check(folder: Folder = None, plain: Plain = False) -> None:
    """Read all rule files, run the lints, and tell every problem."""
    with guarded():
        from diag.cli.rules.run import run_check

        raise SystemExit(run_check(folder, plain))


@app.command()
def lints(name: LintName = None, plain: Plain = False) -> None:
    """List the lints, or show the manual of one with its examples."""
    with guarded():
        from diag.cli.rules.run import run_lints

        raise SystemExit(run_lints(name, plain))


@app.command()
def cases(path: CasePath = None, processes: Processes = None, plain: Plain = False) -> None:
    """Run the worked cases and tell what each was led to."""
    with guarded():
        from diag.cli.rules.run import run_cases

        raise SystemExit(run_cases(path, plain, processes))


@app.command()
def show(name: EntryName, plain: Plain = False) -> None:
    """Show one entry of the rules, and what refers to it."""
    with guarded():
        from diag.cli.rules.run import run_show

        raise SystemExit(run_show(name, plain))


@app.command()
def coverage(unit: ForUnit = None, as_json: Json = False, plain: Plain = False) -> None:
    """Tell which causes the checks detect and tell apart, and which they do not."""
    with guarded():
        from diag.cli.rules.reports import run_coverage

        raise SystemExit(run_coverage(unit, as_json, plain))


@app.command()
def tree(
    complaint: ComplaintWords,
    unit: ForUnit = None,
    depth: Depth = "6",
    least: Least = "2",
    numbered: Annotated[
        bool, typer.Option("--numbered", help="As numbered steps that lead to each other.")
    ] = False,
    markdown: Markdown = False,
    as_json: Json = False,
    plain: Plain = False,
) -> None:
    """Print the policy from a complaint as a tree with expected minutes."""
    with guarded():
        from diag.cli.rules.reports import run_tree

        written = "markdown" if markdown else "text"
        form = "json" if as_json else f"numbered {written}" if numbered else written
        raise SystemExit(run_tree(complaint, unit, (depth, least), form, plain))


@sequence_app.command()
def sequence(
    complaint: ComplaintWords,
    unit: ForUnit = None,
    page: Annotated[
        Text,
        typer.Option("--page", metavar="FILE.html", help="Write it to print on A4 instead."),
    ] = None,
    blank: Annotated[
        bool, typer.Option("--blank", help="A sheet to write on, with a box for each reading.")
    ] = False,
    markdown: Markdown = False,
    as_json: Json = False,
    plain: Plain = False,
) -> None:
    """Print the usual fault sequence of a complaint.

    It is one page for the wall and for teaching: dangers first, then steps in a fixed order. With
    --blank it is a bench sheet to be filled in by hand, and typed in afterwards by diag enter.
    """
    with guarded():
        from diag.cli.rules.blank import run_blank
        from diag.cli.rules.sequence import run_sequence

        form = "json" if as_json else "markdown" if markdown else "text"
        if blank:
            raise SystemExit(run_blank(complaint, unit, page, form, plain))
        raise SystemExit(run_sequence(complaint, unit, page, form, plain))


@app.command()
def learn(
    complaint: Annotated[
        Text, typer.Argument(metavar="[COMPLAINT]", help="Of this one; of all if left out.")
    ] = None,
    unit: Annotated[
        Text, text_option("--unit", "UNIT", "As it is for this unit, where enough is known.")
    ] = None,
    as_json: Json = False,
    plain: Plain = False,
) -> None:
    """Show the record of proved repairs beside the rules, as suggestions only."""
    with guarded():
        from diag.cli.rules.learn import run_learn

        raise SystemExit(run_learn(complaint, unit, as_json, plain))


@app.command()
def new(
    kind: Annotated[
        str,
        typer.Argument(
            metavar="KIND", help="`cause`, `finding`, `check`, `sign`, `case` or `lesson`."
        ),
    ],
    name: Annotated[str, typer.Argument(metavar="ID", help="Its id, in plain words.")],
    area: Annotated[
        str, typer.Option("--area", metavar="AREA", help="Its folder; a case or lesson needs none.")
    ] = "",
) -> None:
    """Begin a rule file of your own, with every key explained."""
    with guarded():
        from diag.cli.rules.run import run_new

        raise SystemExit(run_new(kind, name, area))


@app.command()
def formulas(as_json: Json = False) -> None:
    """List the formulas that rule files may call, with units and sources."""
    with guarded():
        from diag.cli.rules.reports import run_formulas

        raise SystemExit(run_formulas(as_json=as_json))


@app.command()
def schema(
    write: Annotated[
        bool, typer.Option("--write", help="Write it beside your own rules instead.")
    ] = False,
) -> None:
    """Print a JSON Schema of the rule files, for editors."""
    with guarded():
        from diag.cli.rules.reports import run_schema

        raise SystemExit(run_schema(write=write))
