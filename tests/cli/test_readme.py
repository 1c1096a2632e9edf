"""The README is a face: short, with every command in a line, and nothing in it that is not so."""

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import typer

from diag.cli import app as diag

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
MOST_LINES = 150
BLOCKS = re.findall(r"```sh\n(.*?)```", TEXT, re.S)
COMMANDS = [
    part.strip() for block in BLOCKS for line in block.splitlines() for part in line.split("&&")
]
NAMED = sorted(set(re.findall(r"`(diag [^`\n]+)`", TEXT)))
"""Commands named in a sentence or the table."""
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


@pytest.mark.parametrize("command", [*COMMANDS, *NAMED])
def test_every_command_in_the_readme_is_known(command: str) -> None:
    """Each command, in a block or in a sentence, is a known one, and so are its options."""
    words = _diag(command.replace("COMMAND", "ask"))
    if not words:
        assert command in OTHERS
        return
    leaf, path, rest = _leaf(words)
    known = {name for each in leaf.params for name in each.opts} | {"--help"}
    assert path or rest == ["--install-completion"]
    assert set() == {word for word in rest if word.startswith("--")} - known


def test_the_table_has_a_line_for_each_command() -> None:
    """Every command stands in the table once, with the line that `diag --help` has for it."""
    rows = re.findall(r"^\| `diag (\S+)` \| (.*) \|$", TEXT, re.M)
    assert [(name, line) for name, (_, line) in diag.COMMANDS.items()] == rows


def test_the_readme_is_short_and_what_it_points_to_is_there() -> None:
    """It has at most so many lines, and each link and picture leads to a file and a heading."""
    assert len(TEXT.splitlines()) <= MOST_LINES
    for target in re.findall(r"\]\(([^)]+)\)", TEXT):
        name, _, heading = target.partition("#")
        assert (ROOT / name).is_file(), target
        titles = re.findall(r"^#+ (.+)$", (ROOT / name).read_text(encoding="utf-8"), re.M)
        anchors = {re.sub(r"[^a-z0-9 -]", "", one.lower()).replace(" ", "-") for one in titles}
        assert not heading or heading in anchors, target


def test_help_lists_each_command_by_its_own_first_line() -> None:
    """What `diag --help` says of a command is how the command's own help begins."""
    for name, (_, line) in diag.COMMANDS.items():
        command = diag.made(name)
        assert line == (command.help or command.callback.__doc__).partition("\n")[0]


def test_the_two_commands_stand_once() -> None:
    """The lines that the checks pick out of the README by a word stand there exactly once."""
    lines = TEXT.splitlines()
    assert 1 == sum("diag ask --demo" in line for line in lines)
    assert 1 == sum("-m pytest" in line for line in lines)
