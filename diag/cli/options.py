"""How commands and options are declared: one manner for all of them.

Numbers are text options: people write `12,7 V`, and a command line without number types starts
faster.
"""

from __future__ import annotations

from typing import Annotated

import typer

Text = str | None
Json = Annotated[bool, typer.Option("--json", help="Print one JSON object and nothing else.")]
Plain = Annotated[
    bool, typer.Option("--plain", help="No colour, no drawing: for screen readers and logs.")
]
Markdown = Annotated[bool, typer.Option("--markdown", help="Print it as Markdown.")]


def text_option(name: str, metavar: str, help: str) -> typer.models.OptionInfo:
    """Return an option that takes words as they are typed."""
    option: typer.models.OptionInfo = typer.Option(
        name, metavar=metavar, help=help, show_default=False
    )
    return option


def commands(
    name: str,
    help: str | None = None,
    cls: type[typer.core.TyperGroup] | None = None,
    bare_is_help: bool = True,
    completes: bool = False,
) -> typer.Typer:
    """Return an empty set of commands: no markup in the help, plain errors.

    One that `completes` can install the completion of its words in a shell.
    """
    return typer.Typer(
        name=name,
        help=help,
        cls=cls,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        add_completion=completes,
        no_args_is_help=bare_is_help,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
