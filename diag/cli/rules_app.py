"""The commands about rules and their options; each is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded

Text = str | None
Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Complaint = Annotated[str, typer.Argument(metavar="COMPLAINT", help="What the owner says.")]
Unit = Annotated[
    Text,
    typer.Option("--unit", metavar="UNIT", help="For this unit; the first if left out."),
]
Depth = Annotated[
    str, typer.Option("--depth", metavar="N", help="How many checks deep, after the first looks.")
]
Least = Annotated[
    str, typer.Option("--least", metavar="PERCENT", help="Lump what fewer units than this show.")
]
Markdown = Annotated[bool, typer.Option("--markdown", help="Print it as Markdown.")]


def register(app: typer.Typer) -> None:
    """Add `rules` with all that belongs to it, and `sequence`, to the commands."""
    group = typer.Typer(
        help="Check, try, read and add to the rules.",
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        add_completion=False,
        no_args_is_help=True,
    )
    for command in (check, lints, cases, show, coverage, tree, new, schema):
        group.command(command.__name__)(command)
    app.add_typer(group, name="rules")
    app.command()(sequence)


def check(
    folder: Annotated[
        Text,
        typer.Argument(metavar="[DIR]", help="A folder of rules; the shipped ones if left out."),
    ] = None,
) -> None:
    """Read all rule files, run the lints, and tell every problem."""
    with guarded():
        from diag.cli.rules import run_check

        raise SystemExit(run_check(folder))


def lints(
    name: Annotated[
        Text, typer.Argument(metavar="[LINT]", help="A lint by name or code; all if left out.")
    ] = None,
) -> None:
    """List the lints, or show the manual of one with its examples."""
    with guarded():
        from diag.cli.rules import run_lints

        raise SystemExit(run_lints(name))


def cases(
    path: Annotated[
        Text, typer.Argument(metavar="[PATH]", help="A file or folder of cases; all if left out.")
    ] = None,
) -> None:
    """Run the worked cases and tell what each was led to."""
    with guarded():
        from diag.cli.rules import run_cases

        raise SystemExit(run_cases(path))


def show(
    name: Annotated[str, typer.Argument(metavar="ID", help="A cause, sign, finding, figure ...")],
) -> None:
    """Show one entry of the rules, and what refers to it."""
    with guarded():
        from diag.cli.rules import run_show

        raise SystemExit(run_show(name))


def coverage(unit: Unit = None, as_json: Json = False) -> None:
    """Tell which causes the checks detect and tell apart, and which they do not."""
    with guarded():
        from diag.cli.rules_reports import run_coverage

        raise SystemExit(run_coverage(unit, as_json=as_json))


def tree(
    complaint: Complaint,
    unit: Unit = None,
    depth: Depth = "6",
    least: Least = "2",
    markdown: Markdown = False,
    as_json: Json = False,
) -> None:
    """Print the policy from a complaint as a tree with expected minutes."""
    with guarded():
        from diag.cli.rules_reports import run_tree

        form = "json" if as_json else "markdown" if markdown else "text"
        raise SystemExit(run_tree(complaint, unit, (depth, least), form))


def sequence(
    complaint: Complaint,
    unit: Unit = None,
    depth: Depth = "6",
    least: Least = "2",
) -> None:
    """Print the usual fault sequence of a complaint as a numbered sheet for the wall."""
    with guarded():
        from diag.cli.rules_reports import run_tree

        raise SystemExit(run_tree(complaint, unit, (depth, least), "sheet"))


def new(
    kind: Annotated[str, typer.Argument(metavar="KIND", help="`cause`.")],
    name: Annotated[str, typer.Argument(metavar="ID", help="Its id, in plain words.")],
    area: Annotated[str, typer.Option("--area", metavar="AREA", help="The folder it belongs to.")],
) -> None:
    """Begin a rule file of your own, with every key explained."""
    with guarded():
        from diag.cli.rules import run_new

        raise SystemExit(run_new(kind, name, area))


def schema() -> None:
    """Print a JSON Schema of the rule files, for editors."""
    with guarded():
        from diag.cli.rules_reports import run_schema

        raise SystemExit(run_schema())
