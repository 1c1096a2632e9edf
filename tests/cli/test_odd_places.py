"""No input, no output, no home, no line editing: each ends in one sentence, never a traceback."""

from __future__ import annotations

import builtins
import os
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from diag.cli.guard import WrongUse
from diag.cli.places import data_folder
from diag.cli.terminal.source import Keyboard

ROOT = Path(__file__).parents[2]
PYTHON = shlex.quote(sys.executable)
DIAG = f"{PYTHON} -c 'from diag.cli import main; main()'"
CASES = {
    "no input": (f"{DIAG} ask 0<&-", 2, "there is no input to take answers from; "),
    "no readings to read": (
        f"{DIAG} ask --unit 'small 12 V' --complaint noise --readings - 0<&-",
        2,
        "there is no input to take answers from; ",
    ),
    "no output": (f"{DIAG} units list >&-", 2, "there is no output to write to; "),
    "no output for a session": (f"{DIAG} ask --demo >&-", 2, "there is no output to write to; "),
    "a full disk": (
        f"PYTHONUNBUFFERED= {DIAG} units list >/dev/full",
        1,
        "`standard output` cannot be used: no space left on device",
    ),
    "a full disk, written to at once": (
        f"PYTHONUNBUFFERED=1 {DIAG} units list >/dev/full",
        1,
        "the input or output cannot be used: no space left on device",
    ),
    "nobody's home": (
        f"DIAG_HOME='~nouser/x' {DIAG} units list",
        2,
        "`~nouser/x` has no home folder to begin with; set DIAG_HOME to a folder",
    ),
    "rules in nobody's home": (
        f"{DIAG} ask --rules '~nouser/x'",
        2,
        "`~nouser/x` is not a folder of rules; ",
    ),
}


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("name", CASES)
def test_one_sentence(name: str, tmp_path: Path) -> None:
    """Each odd place has its sentence and exit code."""
    command, code, sentence = CASES[name]
    done = subprocess.run(
        ["sh", "-c", command],
        capture_output=True,
        text=True,
        env={**os.environ, "DIAG_HOME": str(tmp_path)},
        cwd=ROOT,
        check=False,
        timeout=120,
    )
    assert code == done.returncode
    assert done.stderr.startswith(sentence)
    assert 1 == len(done.stderr.splitlines())


def test_a_demonstration_needs_no_input(tmp_path: Path) -> None:
    """It brings its answers along."""
    done = subprocess.run(
        ["sh", "-c", f"{DIAG} ask --demo 0<&-"],
        capture_output=True,
        text=True,
        env={**os.environ, "DIAG_HOME": str(tmp_path)},
        cwd=ROOT,
        check=False,
        timeout=120,
    )
    assert (0, "") == (done.returncode, done.stderr)


def test_no_folder_is_named_after_a_tilde(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nobody's home is known, the data folder is asked for, not made as `~` right here."""
    monkeypatch.delenv("DIAG_HOME", raising=False)
    monkeypatch.setattr("os.path.expanduser", lambda path: path)
    monkeypatch.setattr("typer.get_app_dir", lambda name: f"~/.config/{name}")
    with pytest.raises(WrongUse, match="set DIAG_HOME to a folder"):
        data_folder()


def test_a_python_without_line_editing_reads_lines_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where `readline` cannot be imported, the keyboard works without it."""
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name == "readline":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    monkeypatch.setattr(builtins, "input", lambda mark: "typed")
    assert "typed" == Keyboard().read("")


@pytest.mark.parametrize("words", ["", "ask", "rules", "rules check", "units new", "sequence"])
def test_h_is_help(words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`-h` prints what `--help` prints, at every command."""
    from diag.cli.app import app

    said = []
    for option in ("-h", "--help"):
        with pytest.raises(SystemExit) as left:
            app([*words.split(), option], prog_name="diag")
        said.append((left.value.code, capsys.readouterr().out))
    assert said[0] == said[1]
    assert "-h, --help" in said[0][1]


ODD_FILES = {
    "rules": "mkdir -p $DIAG_HOME/rules; mkfifo $DIAG_HOME/rules/x.yaml; {diag} rules check",
    "cases": "mkfifo $DIAG_HOME/x.yaml; {diag} rules cases $DIAG_HOME/x.yaml",
    "a unit": "mkfifo $DIAG_HOME/x.yaml; {diag} units check $DIAG_HOME/x.yaml",
    "an endless device": "ln -s /dev/zero $DIAG_HOME/x.yaml; {diag} rules cases $DIAG_HOME/x.yaml",
}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes with names")
@pytest.mark.parametrize("name", ODD_FILES)
def test_a_pipe_or_a_device_in_place_of_a_file_is_told_at_once(name: str, tmp_path: Path) -> None:
    """Nothing waits for what a pipe may bring, or reads a device that has no end."""
    done = subprocess.run(
        ["sh", "-c", ODD_FILES[name].format(diag=DIAG)],
        capture_output=True,
        text=True,
        env={**os.environ, "DIAG_HOME": str(tmp_path)},
        cwd=ROOT,
        check=False,
        timeout=60,
    )
    assert 1 == done.returncode
    place, advice = done.stderr.splitlines()
    assert place.endswith("x.yaml: this is no plain file")
    assert "  name a file that lies on a disk" == advice


def test_a_session_that_lost_its_head_is_told(tmp_path: Path) -> None:
    """Where a damaged file no longer says what a session is about, it is listed and refused."""
    from diag.store import Store

    store = Store(tmp_path / "sessions.db")
    session = store.create({"unit": "small 12 V"})
    store.close()
    listed, resumed = (
        subprocess.run(
            ["sh", "-c", f"{DIAG} ask {words}"],
            capture_output=True,
            text=True,
            env={**os.environ, "DIAG_HOME": str(tmp_path)},
            cwd=ROOT,
            check=False,
            timeout=120,
        )
        for words in ("--list", "--resume </dev/null")
    )
    assert (0, True) == (listed.returncode, "not known" in listed.stdout)
    assert 1 == resumed.returncode
    assert resumed.stderr == (
        f"session `{session}` no longer says which unit and complaint it is about: begin a new "
        "one; its entries are kept\n"
    )
