"""The options of `diag drill`; what its commands do is imported only when they run."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Json, Markdown, Plain, Text, commands, text_option

drill_app = commands(
    "drill",
    """Practise on units with a hidden fault, and see how it went.

    Type what you do (start, measure volts at rest, swap glow plug, call bad earth), and see what
    comes of it. Minutes and parts are counted, dangers bite, and help tells the words. Levels: 1,
    one common fault that shows plainly; 2, one of any kind; 3, one that shows weakly or comes and
    goes, with meters that slip; 4, two faults, or none.""",
    bare_is_help=False,
)

LevelText = Annotated[Text, text_option("--level", "N", "How hard, from 1 to 4.")]
SeedText = Annotated[Text, text_option("--seed", "S", "A number: the same one, the same unit.")]
LessonName = Annotated[
    Text,
    typer.Argument(metavar="[LESSON]", help="A lesson by name or number; all if left out."),
]
OfLesson = Annotated[
    Text, text_option("--lesson", "LESSON", "One of the faults that this lesson has practised.")
]


@drill_app.callback(invoke_without_command=True)
def drill(
    context: typer.Context,
    level: LevelText = None,
    seed: SeedText = None,
    lesson: OfLesson = None,
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

        raise SystemExit(run_drill(level=level, seed=seed, lesson=lesson, new=new, plain=plain))


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


@drill_app.command()
def lessons(name: LessonName = None, plain: Plain = False) -> None:
    """List the lessons and what is due, or go through one page by page."""
    with guarded():
        from diag.cli.drill.lessons import run_lessons

        raise SystemExit(run_lessons(name, plain))


@drill_app.command()
def progress(as_json: Json = False, plain: Plain = False) -> None:
    """Show which families and lessons are firm, and what is due."""
    with guarded():
        from diag.cli.drill.progress import run_progress

        raise SystemExit(run_progress(as_json=as_json, plain=plain))
