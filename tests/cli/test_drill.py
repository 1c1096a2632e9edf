"""`diag drill` at a keyboard and in a pipe: kept act by act, gone on with, and looked back upon."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
from pathlib import Path

import pytest

from tests.cli.terminals import widest

pytest.importorskip("pty")

from tests.cli.test_keyboard import DIAG, END, ROOT, Terminal


def _environment(home: Path) -> dict[str, str]:
    return {**os.environ, "DIAG_HOME": str(home), "COLUMNS": "80"}


def drill(home: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Run `diag drill` in a pipe with lines typed."""
    return subprocess.run(
        [*DIAG, "drill", *words], input=typed, capture_output=True, text=True,
        env=_environment(home), cwd=ROOT, timeout=240, check=False,
    )  # fmt: skip


def test_a_level_that_does_not_exist_is_one_sentence(tmp_path: Path) -> None:
    """A level or a seed that is none is refused in a sentence with exit code 2."""
    for words, begins in (
        (("--level", "9"), "there is no level `9`: take one of 1, one common fault that shows"),
        (("--seed", "x"), "`--seed x`: give a whole number from 0 to 1000000000"),
        (("make", "--level", "0"), "there is no level `0`: take one of "),
        (("make", "--count", "0"), "`--count 0`: give 1 or more"),
        (("make", "--cause", "gremlins"), "there is no cause `gremlins`"),
    ):
        run = drill(tmp_path, *words)
        assert (2, "", 1) == (run.returncode, run.stdout, run.stderr.count("\n"))
        assert run.stderr.startswith(begins)


def test_a_drill_is_left_and_gone_on_with(tmp_path: Path) -> None:
    """What was done is kept and done again; a word not heard, or `undo`, changes nothing."""
    first = drill(
        tmp_path, "--level", "1", "--seed", "4", typed="look round for danger\nfrob\nundo\nquit\n"
    )
    assert 0 == first.returncode
    assert "`frob` is not heard here" in first.stdout
    assert "Time does not run back at the bench: what is done is done." in first.stdout
    again = drill(tmp_path, typed="notes\nvolts at rest\n")
    assert "So far one thing was done" in again.stdout
    assert "co alarm " in again.stdout
    assert "is kept. Go on with: diag drill" in again.stdout
    third = drill(tmp_path, typed="call nothing wrong\n")
    assert "So far 2 things were done" in third.stdout
    assert "Marks" in third.stdout
    with sqlite3.connect(tmp_path / "sessions.db") as raw:
        assert [("wrong", 1)] == raw.execute("select how, level from drills").fetchall()
        assert [(0.0,)] == raw.execute("select points from drill_marks").fetchall()
    raw.close()


def test_a_drill_on_changed_rules_says_so(tmp_path: Path) -> None:
    """It goes on as far as it goes, offers to begin anew, and leaves out what says nothing."""
    drill(tmp_path, "--level", "1", "--seed", "4", typed="look round for danger\nvolts at rest\n")
    with sqlite3.connect(tmp_path / "sessions.db") as raw:
        raw.execute("update drills set rules = 'other'")
        raw.execute('update drill_acts set payload = \'{"names": ["gone"]}\' where number = 1')
    raw.close()
    again = drill(tmp_path, typed="new\nquit\n")
    said = " ".join(again.stdout.split())
    assert "The rules have changed since this drill began." in said
    assert "Entry 1 says nothing to these rules: it is left out." in said
    assert "is given up." in said
    assert "" == again.stderr
    assert 2 == said.count("The owner says: ")


def test_a_drill_whose_fault_is_gone_says_so(tmp_path: Path) -> None:
    """Where the rules have lost its fault, a drill cannot go on; another can be begun."""
    drill(tmp_path, "--level", "1", "--seed", "4", typed="quit\n")
    with sqlite3.connect(tmp_path / "sessions.db") as raw:
        raw.execute("update drills set fault = 'gremlins'")
    raw.close()
    again = drill(tmp_path, typed="start\n")
    assert 1 == again.returncode
    assert "its unit is not in them any more: begin another with `diag drill --new`" in again.stderr
    assert 0 == drill(tmp_path, "--new", typed="quit\n").returncode


def test_killed_at_any_moment_nothing_that_was_told_is_lost(tmp_path: Path) -> None:
    """A drill whose process is killed goes on with all that was told."""
    process = subprocess.Popen(
        [*DIAG, "drill", "--level", "2", "--seed", "5"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=_environment(tmp_path),
        cwd=ROOT,
    )  # fmt: skip
    assert process.stdin is not None
    assert process.stdout is not None
    for line in ("look round for danger", "start", "volts at rest"):
        process.stdin.write(line + "\n")
        process.stdin.flush()
    told = 0
    while told < 2:
        told += process.stdout.readline().startswith("Bench:")
    process.send_signal(signal.SIGKILL)
    process.communicate()
    with sqlite3.connect(tmp_path / "sessions.db") as raw:
        kept = raw.execute("select count(*) from drill_acts").fetchone()[0]
    raw.close()
    assert kept in (2, 3)
    again = drill(tmp_path, typed="quit\n")
    assert f"So far {kept} things were done" in again.stdout


@pytest.mark.parametrize("columns", [80, 40])
def test_a_whole_drill_by_keyboard(tmp_path: Path, columns: int) -> None:
    """At 80 and at 40 columns a drill is begun, worked, left, gone on with, called and marked."""
    terminal = Terminal(tmp_path, "drill", "--level", "1", "--seed", "4", columns=columns)
    terminal.wait_for("> ")
    for line in ("look round for danger", "help", "hint", "start"):
        terminal.send(line.encode() + b"\r")
        terminal.wait_for("> ", after=line + "\r\n")
    assert 0 == terminal.finish(END)
    screens = [terminal.screen]
    again = Terminal(tmp_path, "drill", columns=columns)
    again.wait_for("> ", after="So far 3 things")
    again.send(b"call nothing wrong\r")
    again.wait_for("is wrong.", after="Marks")
    again.finish(b"\r")
    screens.append(again.screen)
    for screen in screens:
        assert "Traceback" not in screen
        assert widest(screen.replace("\r", "")) <= columns


def test_exercises_are_the_same_for_the_same_seed(tmp_path: Path) -> None:
    """The same seed prints the same, and the answers go apart where a file is named."""
    apart = tmp_path / "answers.md"
    words = ("make", "--cause", "bad earth", "--level", "2", "--seed", "7", "--markdown")
    whole, again = drill(tmp_path, *words), drill(tmp_path, *words)
    assert 0 == whole.returncode
    assert whole.stdout == again.stdout
    exercise, _, answer = whole.stdout.partition("\n---\n")
    assert "Bad earth" not in exercise
    assert "Bad earth" in answer
    alone = drill(tmp_path, *words, "--answers", str(apart))
    assert exercise.strip() in alone.stdout
    assert answer.strip() == apart.read_text("utf-8").strip()
    assert 1 == drill(tmp_path, *words, "--answers", str(tmp_path / "no" / "a.md")).returncode
