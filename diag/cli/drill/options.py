"""The commands of practice and their options; each is imported only when it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from diag.cli.guard import guarded
from diag.cli.options import Json, Plain, Text, commands

LessonName = Annotated[
    Text,
    typer.Argument(metavar="[LESSON]", help="A lesson by name or number; all if left out."),
]

app = commands("drill", "Learn and practise: lessons, and how firm you are.")


@app.command()
def lessons(name: LessonName = None, plain: Plain = False) -> None:
    """List the lessons and what is due, or go through one page by page."""
    with guarded():
        from diag.cli.drill.lessons import run_lessons

        raise SystemExit(run_lessons(name, plain))


@app.command()
def progress(as_json: Json = False, plain: Plain = False) -> None:
    """Show which families of causes and which lessons are firm, and what is due."""
    with guarded():
        from diag.cli.drill.progress import run_progress

        raise SystemExit(run_progress(as_json=as_json, plain=plain))
