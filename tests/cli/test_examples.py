"""The examples in each command's help: together they show every option, and every line runs."""

from __future__ import annotations

import io
import re
import shlex
from pathlib import Path

import pytest

from diag.cli.app import run
from diag.cli.examples import COMMAND_EXAMPLES
from diag.cli.guard import guarded
from diag.cli.help import typed_lines
from diag.jobs.entries import Ended, Labelled, Opened, Remarked, entry_as_data
from diag.jobs.record import index_of
from diag.store import Store
from diag.store.care import back_up
from diag.store.jobs import Jobs
from diag.store.sessions import short_id
from tests.cli.commands import leaves
from tests.cli.terminals import terminal

ROOT = Path(__file__).parents[2]
JOB, CLOSED, SESSION = "j4t7wqb", "c5m8xqk", "k3m7xqa"
LEAVES = leaves()
TYPED = [line for examples in COMMAND_EXAMPLES.values() for _, line in examples]
FILES = {
    "bench.yaml": "panel: lit\nvolts at rest: 12.6 V\n",
    "plug.jpg": "soot",
    "runs.txt": "LIB-03: 1.1 kW 0.15 l/h 0.9 A 38 dB\nROAD-07: 2 kW 0.27 l/h 1.5 A 45 dB\n",
}
"""What the examples bring along: readings, runs, a folder of rules and one of worked cases."""


def helps(*words: str) -> str:
    """Return what a command says of itself, wide enough for every line."""
    with terminal(200) as out, pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.argv", ["diag", *words, "--help"])
        with pytest.raises(SystemExit), guarded():
            raise SystemExit(run())
    return out.getvalue()


def shown_in(text: str) -> list[str]:
    """Return the example lines of a help, those that go on below put together."""
    told = text.partition("\nExamples:\n")[2].replace(" \\\n", "\n")
    return [" ".join(one.split()) for one in re.findall(r"^ {4}(diag.*(?:\n {6}.*)*)", told, re.M)]


@pytest.mark.parametrize("path", [(), *LEAVES], ids=" ".join)
def test_a_help_ends_with_its_examples(path: tuple[str, ...]) -> None:
    """What stands under `Examples` in a help is just what the tests below run."""
    wanted = [line for _, line in COMMAND_EXAMPLES[" ".join(path)]]
    assert wanted
    assert wanted == shown_in(helps(*path))


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_examples_show_every_option(path: tuple[str, ...]) -> None:
    """Every option of a command stands in an example of it, and every example is of it."""
    lines = [shlex.split(line) for _, line in COMMAND_EXAMPLES[" ".join(path)]]
    assert [] == [line for line in lines if tuple(line[1 : len(path) + 1]) != path]
    shown = {word for line in lines for word in line if word.startswith("--")}
    options = {name for each in LEAVES[path].params for name in each.opts if name[:2] == "--"}
    assert set() == options - {"--help"} - shown


def test_examples_are_of_commands_that_there_are() -> None:
    """No example is left of a command that is gone."""
    assert {"", *map(" ".join, LEAVES)} == set(COMMAND_EXAMPLES)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Return a folder with the files that the examples name, and a home with jobs and a session.

    One job is open, with a session and an entry, and one is closed; `kept.db` is a backup.
    """
    folder = tmp_path / "bench"
    folder.mkdir()
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "my-rules").symlink_to(ROOT / "rules")
    (folder / "my-cases").mkdir()
    case = (ROOT / "rules" / "cases" / "demo.yaml").read_text(encoding="utf-8")
    (folder / "my-cases" / "demo.yaml").write_text(case, encoding="utf-8")
    ids = iter([JOB, CLOSED, SESSION])
    store = Store(folder / "home" / "sessions.db", new_id=lambda: next(ids, short_id()))
    jobs = Jobs(store, index_of)
    begun = entry_as_data(Opened("small 12 V", "will not start", Labelled(tag="LIB-07")))
    for job in (jobs.open(*begun), jobs.open(*entry_as_data(Opened("small 12 V", "noise")))):
        jobs.append(job, *entry_as_data(Remarked("leaves on the grille")))
    jobs.append(CLOSED, *entry_as_data(Ended("put right")))
    store.create({"unit": "small 12 V", "complaint": "will not start"}, JOB)
    back_up(store, folder / "kept.db")
    store.close()
    return folder


class Leaving(io.StringIO):
    """A keyboard at which somebody looks at each question and leaves."""

    def __init__(self) -> None:
        super().__init__("leave\n" * 9)

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("typed", TYPED)
def test_every_example_runs(typed: str, bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An example, typed as it stands, does its work or asks for what it needs: no error."""
    monkeypatch.chdir(bench)
    with terminal(100) as out:
        monkeypatch.setenv("DIAG_HOME", str(bench / "home"))
        monkeypatch.setattr("sys.argv", shlex.split(typed))
        monkeypatch.setattr("sys.stdin", Leaving())
        with pytest.raises(SystemExit) as left, guarded():
            raise SystemExit(run())
    assert 0 == (left.value.code or 0), out.getvalue()
    assert out.getvalue()


@pytest.mark.parametrize("width", [74, 79, 100])
def test_a_shell_takes_broken_lines_for_one(width: int) -> None:
    """Where no word is longer than a line, what a shell is given is the same command."""
    for typed in TYPED:
        lines = "\n".join(typed_lines(typed, width))
        assert shlex.split(typed) == shlex.split(lines.replace("\\\n", ""))
        assert max(map(len, lines.splitlines())) <= width
