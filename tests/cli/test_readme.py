"""The README and the commands say the same."""

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import typer

from diag.cli import app as diag
from tests.cli.commands import leaves

README = Path(__file__).parents[2] / "README.md"
BLOCKS = re.findall(r"```sh\n(.*?)```", README.read_text(encoding="utf-8"), re.S)
COMMANDS = [
    part.strip() for block in BLOCKS for line in block.splitlines() for part in line.split("&&")
]
OTHERS = {
    "python3 -m venv .venv",
    ".venv/bin/pip install -q .",
    ".venv/bin/pip install -q -e '.[test]'",
    ".venv/bin/python -m pytest",
}


def _diag(command: str) -> list[str]:
    """Return the words after `diag`, or none if it is another command."""
    words = shlex.split(command)
    return words[1:] if words and words[0].removeprefix(".venv/bin/") == "diag" else []


def _leaf(words: list[str]) -> tuple[Any, list[str], list[str]]:
    """Follow sub-commands down; return the command, its path, and the words that are left."""
    command: Any = typer.main.get_command(diag.app)
    path: list[str] = []
    while words and words[0] in getattr(command, "commands", {}):
        command = command.commands[words[0]] if path else diag.made(words[0])
        path.append(words[0])
        words = words[1:]
    return command, path, words


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_in_the_readme_is_known(command: str) -> None:
    """Each shell command is a known one, and each of its options exists."""
    words = _diag(command)
    if not words:
        assert command in OTHERS
        return
    leaf, path, rest = _leaf(words)
    known = {name for each in leaf.params for name in each.opts} | {"--help"}
    assert path or rest == ["--version"]
    assert set() == {word for word in rest if word.startswith("--")} - known
    leaf.make_context("diag", rest, resilient_parsing=True)


def test_every_command_and_option_is_in_the_readme() -> None:
    """Each sub-command and each option is shown in a shell block of the README."""
    shown: dict[tuple[str, ...], set[str]] = {}
    for words in filter(None, map(_diag, COMMANDS)):
        _, path, rest = _leaf(words)
        shown.setdefault(tuple(path), set()).update(w for w in rest if w.startswith("--"))
    every = leaves()
    assert set() == every.keys() - shown.keys()
    for path, leaf in every.items():
        options = {name for each in leaf.params for name in each.opts if name[:2] == "--"}
        assert set() == options - {"--help"} - shown[path]


def test_help_lists_each_command_by_its_own_first_line() -> None:
    """What `diag --help` says of a command is how the command's own help begins."""
    for name, (_, line) in diag.COMMANDS.items():
        command = diag.made(name)
        assert line == (command.help or command.callback.__doc__).partition("\n")[0]


def test_the_two_commands_stand_once() -> None:
    """The lines that the checks pick out of the README by a word stand there exactly once."""
    lines = README.read_text(encoding="utf-8").splitlines()
    assert 1 == sum("diag ask --demo" in line for line in lines)
    assert 1 == sum("-m pytest" in line for line in lines)
