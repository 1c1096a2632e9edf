"""The options of `diag drill`; what its commands do is imported only when they run."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Markdown, Plain, Text, commands, text_option

drill_app = commands(
    "drill", "Practise on units with a hidden fault, and see how it went.", bare_is_help=False
)

LevelText = Annotated[Text, text_option("--level", "N", "How hard, from 1 to 4.")]
SeedText = Annotated[Text, text_option("--seed", "S", "A number: the same one, the same unit.")]


@drill_app.callback(invoke_without_command=True)
def drill(
    context: typer.Context,
    level: LevelText = None,
    seed: SeedText = None,
    new: Annotated[
        bool, typer.Option("--new", help="Begin another one, though one is open.")
    ] = False,
    plain: Plain = False,
) -> None:
    """Practise on units with a hidden fault, and see how it went."""
    if context.invoked_subcommand is not None:
        return
    with guarded():
        from diag.cli.drill.run import run_drill

        raise SystemExit(run_drill(level=level, seed=seed, new=new, plain=plain))


@drill_app.command("make")
def make(
    cause: Annotated[Text, text_option("--cause", "CAUSE", "What is to be wrong.")] = None,
    level: LevelText = None,
    seed: SeedText = None,
    count: Annotated[Text, text_option("--count", "N", "How many exercises.")] = None,
    answers: Annotated[
        Text, text_option("--answers", "FILE", "Write the answers to this file instead.")
    ] = None,
    markdown: Markdown = False,
) -> None:
    """Print exercises for a class, with the answers apart."""
    with guarded():
        from diag.cli.drill.make import run_make

        raise SystemExit(
            run_make(
                cause=cause,
                level=level,
                seed=seed,
                count=count,
                answers=answers,
                markdown=markdown,
            )
        )
