"""Whatever goes wrong, a command ends with one sentence and the right exit code."""

import sys
from pathlib import Path

import pytest

from diag.cli.guard import WrongUse, guarded
from diag.model.problem import Place, Problem, ProblemsFound
from diag.store import StoreError

CASES = {
    "wrong use": (WrongUse("name a unit"), 2, "name a unit\n"),
    "store": (StoreError("`x` is full"), 1, "`x` is full\n"),
    "value": (ValueError("`12 A`: expected V"), 1, "`12 A`: expected V\n"),
    "problems": (
        ProblemsFound((Problem(Place("a.yaml", 2, 3), "`x` is unknown"),)),
        1,
        "a.yaml:2:3: `x` is unknown\n",
    ),
    "file": (
        FileNotFoundError(2, "No such file or directory", "r.yaml"),
        1,
        "`r.yaml` cannot be used: no such file or directory\n",
    ),
    "control codes": (ValueError("a\x1b[2Jb"), 1, "a\\x1b[2Jb\n"),
    "ctrl-c": (KeyboardInterrupt(), 130, "\nstopped\n"),
    "ctrl-d": (
        EOFError(),
        1,
        "\nstopped: the input ended before the last question was answered\n",
    ),
    "fault": (
        KeyError("x"),
        1,
        "a fault in diag itself (KeyError: 'x'): set DIAG_TRACEBACK=1 and run again to see where\n",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_one_sentence(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each kind of error has its sentence and exit code, and no traceback."""
    error, code, sentence = CASES[name]
    with pytest.raises(SystemExit) as left, guarded():
        raise error
    assert (code, sentence) == (left.value.code, capsys.readouterr().err)


def test_a_fault_can_be_traced(monkeypatch: pytest.MonkeyPatch) -> None:
    """With DIAG_TRACEBACK set, a fault in diag is raised as it is."""
    monkeypatch.setenv("DIAG_TRACEBACK", "1")
    with pytest.raises(KeyError), guarded():
        raise KeyError("x")


def test_nothing_heavy_for_help() -> None:
    """`diag --help` loads no YAML, no rich, no SQLite, no physics and no schema library."""
    import subprocess

    code = (
        "import sys\n"
        "from diag.cli.app import app\n"
        "try:\n    app(['--help'], prog_name='diag')\nexcept SystemExit:\n    pass\n"
        "heavy = ('yaml', 'rich', 'sqlite3', 'pydantic', 'json', 'diag.physics', 'diag.reason',"
        " 'diag.rulebook', 'diag.store', 'diag.session')\n"
        "print([name for name in heavy if name in sys.modules], file=sys.stderr)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    assert "[]\n" == run.stderr
