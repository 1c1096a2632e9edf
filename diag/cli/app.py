"""The commands by name; a command's own options are read only when it is the one that runs."""

from __future__ import annotations

from importlib import import_module
from io import StringIO
from typing import Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from diag.cli.guard import USAGE, say
from diag.cli.help import Context
from diag.cli.options import commands

# Where each command stands, and its line in `diag --help`.
COMMANDS = {
    "ask": ("ask.options:app", "Work from a complaint to a proved repair."),
    "enter": ("enter.options:app", "Type in a bench sheet that was filled in by hand."),
    "jobs": ("jobs.fleet_options:app", "Keep jobs, find them, read them again and keep them safe."),
    "report": ("report.options:app", "Write what a job came to, for the owner and for the file."),
    "battery": ("bench.battery_app:app", "Say from a load test if the supply holds an ignition."),
    "cable": (
        "bench.cable_app:app",
        "Say what a supply cable loses, where, and what size it needs.",
    ),
    "heat": ("bench.heat_app:app", "Weigh the heat in the air against the heat in the fuel."),
    "exhaust": ("bench.exhaust_app:app", "Say from the exhaust gas how the fuel burns."),
    "drill": (
        "drill.options:drill_app",
        "Practise on units with a hidden fault, and see how it went.",
    ),
    "sequence": ("rules.options:sequence_app", "Print the usual fault sequence of a complaint."),
    "units": ("units.options:app", "List, show, begin and check unit files."),
    "rules": ("rules.options:app", "Check, try, read and add to the rules."),
}


def made(name: str) -> Any:
    """Return a command of `COMMANDS` with its options, or its own commands."""
    module, _, attribute = COMMANDS[name][0].partition(":")
    command: Any = typer.main.get_command(getattr(import_module(f"diag.cli.{module}"), attribute))
    for each in (command, *getattr(command, "commands", {}).values()):
        each.context_class = Context
    return command


class _ByName(TyperGroup):
    """Stand-ins for all commands, enough for help and spelling; the one that runs is made."""

    context_class = Context

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = {
            name: TyperCommand(name=name, help=line) for name, (_, line) in COMMANDS.items()
        }

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        name, found, rest = super().resolve_command(ctx, args)
        return name, made(name) if name in COMMANDS else found, rest


app = commands(
    "diag",
    "Find the fault in a fuel-burning warm-air heater, question by question.",
    _ByName,
    completes=True,
)


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        from diag import __version__

        print(f"diag {__version__}")
        raise typer.Exit


def run() -> int:
    """Run the command that was typed; return the exit code."""
    try:
        return app(prog_name="diag", standalone_mode=False) or 0
    except typer.Abort:
        raise KeyboardInterrupt from None
    except Exception as error:
        show = getattr(error, "show", None)  # as all errors about the words typed have it
        if show is None:
            raise
        text = StringIO()
        show(text)
        say(text.getvalue().rstrip())
        return USAGE
