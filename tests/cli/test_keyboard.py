"""Ctrl-C and Ctrl-D at a keyboard: nothing is lost, and no traceback is shown."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

pty = pytest.importorskip("pty")

ROOT = Path(__file__).parents[2]
DIAG = (sys.executable, "-c", "from diag.cli import main; main()")
INTERRUPT, END = b"\x03", b"\x04"
HERE = ("--profile", "workshop")
PATIENCE, AGAIN = 60.0, 5.0


class Terminal:
    """A program on a terminal of its own."""

    def __init__(self, home: Path, *words: str, columns: int = 80) -> None:
        self._master, slave = pty.openpty()
        self._process = subprocess.Popen(
            [*DIAG, *words],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env={**os.environ, "DIAG_HOME": str(home), "TERM": "dumb", "COLUMNS": str(columns)},
            cwd=ROOT,
            start_new_session=True,
            preexec_fn=_take_the_terminal,
        )
        os.close(slave)
        self.screen = ""

    def wait_for(self, text: str, after: str = "") -> None:
        """Read until the text is on the screen, behind `after`."""
        end = time.monotonic() + PATIENCE
        while text not in self._behind(after) and time.monotonic() < end:
            self._read()
        assert text in self._behind(after)

    def _behind(self, after: str) -> str:
        return self.screen.partition(after)[2] if after else self.screen

    def send(self, keys: bytes) -> None:
        os.write(self._master, keys)

    def kill(self) -> None:
        """End the program in the middle of whatever it does."""
        self._process.kill()
        self._process.wait()
        os.close(self._master)

    def finish(self, key: bytes) -> int:
        """Press the key and read to the end, pressing again while nothing happens, as people do.

        A key that comes in the instant between the prompt and Python's wait for the line is seen
        only with the next one. Return the exit code.
        """
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            self.send(key)
            again = time.monotonic() + AGAIN
            while self._read():
                if time.monotonic() > again:
                    break
            else:
                break
        try:
            return self._process.wait(AGAIN)
        except subprocess.TimeoutExpired:
            self._process.kill()
            return self._process.wait()
        finally:
            os.close(self._master)

    def _read(self) -> bool:
        ready, _, _ = select.select([self._master], [], [], 1.0)
        if not ready:
            return self._process.poll() is None
        try:
            data = os.read(self._master, 65536)
        except OSError:
            return False
        self.screen += data.decode("utf-8", "replace")
        return bool(data)


def _take_the_terminal() -> None:
    import fcntl
    import termios

    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # a background run of the tests ignores it


@pytest.mark.parametrize("key", [INTERRUPT, END])
def test_leaving_before_the_session_begins(tmp_path: Path, key: bytes) -> None:
    """At the first question there is nothing to save."""
    terminal = Terminal(tmp_path, "ask")
    terminal.wait_for("> ")
    assert terminal.finish(key) in (0, 130)
    assert "Traceback" not in terminal.screen


@pytest.mark.parametrize("key", [INTERRUPT, END])
def test_leaving_in_the_middle_saves_what_was_answered(tmp_path: Path, key: bytes) -> None:
    """At any later question the session is saved, and goes on from there."""
    terminal = Terminal(tmp_path, "ask", "--unit", "small 12 V", "--complaint", "noise", *HERE)
    terminal.wait_for("Type `none`")
    terminal.wait_for("> ")
    terminal.send(b"none\r")
    terminal.wait_for("-- ", after="none\r\n")
    terminal.wait_for("> ", after="none\r\n")
    assert terminal.finish(key) == 0
    assert "Saved. Go on with: diag ask --resume" in terminal.screen
    assert "Traceback" not in terminal.screen
    again = Terminal(tmp_path, "ask", "--resume")
    again.wait_for("co alarm")
    again.wait_for("> ", after="co alarm")
    assert again.finish(END) == 0


def test_who_works_where_is_asked_once_and_kept(tmp_path: Path) -> None:
    """The first session at a keyboard asks who works on it and with what; the next one knows."""
    words = ("ask", "--unit", "small 12 V", "--complaint", "will not start")
    terminal = Terminal(tmp_path, *words)
    terminal.wait_for("Who works on it, where, and with what?")
    terminal.wait_for("> ", after="workshop:")
    terminal.send(b"moon\r")
    terminal.wait_for("There is no profile `moon`")
    terminal.send(b"vehicle\r")
    terminal.wait_for("Type `none`")
    terminal.send(b"none\r")
    terminal.wait_for("What does the panel do")
    terminal.send(b"no multimeter\r")
    terminal.wait_for("multimeter", after="Here: a fitter at the vehicle, by the road, with")
    terminal.wait_for("What does the panel do", after="no multimeter")
    assert terminal.finish(END) == 0
    again = Terminal(tmp_path, *words)
    again.wait_for("Type `none`")
    again.wait_for("> ", after="Type `none`")
    again.send(b"tools\r")
    again.wait_for("What waits for something that is not here")
    again.wait_for("multimeter", after="What waits")
    assert "Who works on it" not in again.screen
    assert again.finish(END) == 0


def test_a_session_told_in_free_words(tmp_path: Path) -> None:
    """Complaints and findings in plain words are read back, and count once they are confirmed."""
    said = "lots of white smoke and it wont start, battery 12.6 at rest"
    terminal = Terminal(tmp_path, "ask", *HERE, "--unit", "small 12 V", "--complaint", said)
    terminal.wait_for("Is that so? [yes/no]\r\n> ")
    assert "Session" not in terminal.screen
    terminal.send(b"perhaps\r")
    terminal.wait_for("Type `yes` if that is so", after="perhaps")
    terminal.send(b"yes\r")
    terminal.wait_for("White smoke; It")
    terminal.wait_for("Type `none`")
    terminal.send(b"none\r")
    terminal.wait_for("2 flickers", after="none\r\n")
    terminal.send(b"fan turns but the pump is silent\r")
    terminal.wait_for("[yes/no]\r\n> ", after="is silent")
    terminal.send(b"y\r")
    terminal.wait_for("> ", after="[yes/no]\r\n> y")
    terminal.send(b"change complaint = noisy and weak heat\r")
    terminal.wait_for("[yes/no]\r\n> ", after="weak heat")
    terminal.send(b"yes\r")
    terminal.wait_for("The complaint is now: It is noisy; It burns", after="weak heat")
    terminal.send(b"where 2\r")
    terminal.wait_for("pump clicks", after="The complaint is now")
    assert terminal.finish(END) == 0
    assert "Traceback" not in terminal.screen


def test_readings_from_a_file_go_on_at_a_terminal(tmp_path: Path) -> None:
    """A session begun by a file of readings is stored, asks what is next, and is resumed whole."""
    file = tmp_path / "readings.yaml"
    file.write_text("co alarm: no\npanel: lit\nvolts at rest: 12.6 V\n", encoding="utf-8")
    words = ("--unit", "small 12 V", "--complaint", "will not start", "--readings", str(file))
    terminal = Terminal(tmp_path, "ask", *HERE, *words)
    terminal.wait_for("Type `none`")
    terminal.wait_for("> ", after="Type `none`")
    terminal.send(b"none\r")
    terminal.wait_for("ventilation, or fan only", after="none\r\n")
    terminal.wait_for("> ", after="ventilation, or fan only")
    terminal.send(b"fault\r")
    terminal.wait_for("> ", after="fault\r\n")
    assert terminal.finish(END) == 0
    again = Terminal(tmp_path, "ask", "--resume")
    again.wait_for("volts at rest")
    again.wait_for("panel shows")
    again.wait_for("> ", after="panel shows")
    assert again.finish(END) == 0
    assert "Traceback" not in terminal.screen + again.screen


def test_a_table_typed_in_one_go(tmp_path: Path) -> None:
    """`enter` takes readings in any order, says what follows, and leaves out what is none."""
    words = ("ask", "--unit", "small 12 V", "--complaint", "will not start", *HERE)
    terminal = Terminal(tmp_path, *words)
    terminal.wait_for("Type `none`")
    terminal.wait_for("> ", after="Type `none`")
    terminal.send(b"none\r")
    terminal.wait_for("What does the panel do", after="none\r\n")
    terminal.wait_for("> ", after="What does the panel do")
    terminal.send(b"enter\r")
    terminal.wait_for("an empty line ends the table.", after="enter\r\n")
    terminal.send(b"volts at rest: 12.6 V\r")
    terminal.wait_for("`volts at rest`: 12.6 V. So: ")
    terminal.send(b"moon: full\r")
    terminal.wait_for("Left out.", after="moon: full")
    terminal.send(b"panel: lit\r")
    terminal.wait_for("`panel`: lit.")
    terminal.send(b"\r")
    terminal.wait_for("ventilation, or fan only", after="`panel`: lit.")
    assert terminal.finish(END) == 0
    again = Terminal(tmp_path, "ask", "--resume")
    again.wait_for("volts at rest")
    again.wait_for("> ", after="volts at rest")
    assert again.finish(END) == 0
    assert "Traceback" not in terminal.screen + again.screen


def test_tab_completes_and_the_history_comes_back(tmp_path: Path) -> None:
    """Tab finishes an answer and a name; what was typed in a session is there when it goes on."""
    pytest.importorskip("readline")
    words = ("ask", "--unit", "small 12 V", "--complaint", "will not start", *HERE)
    terminal = Terminal(tmp_path, *words)
    terminal.wait_for("> ", after="Type `none`")
    terminal.send(b"non\t\r")
    terminal.wait_for("3 dark", after="none\r\n")
    terminal.wait_for("> ", after="3 dark")
    terminal.send(b"do battery at r\t\r")
    terminal.wait_for("Measure at the battery terminals", after="battery at rest")
    terminal.wait_for("> ", after="Measure at the battery terminals")
    terminal.send(b"\r")
    terminal.wait_for("-- battery at rest", after="Measure at the battery terminals")
    assert terminal.finish(END) == 0
    again = Terminal(tmp_path, "ask", "--resume")
    again.wait_for("> ", after="-- battery at rest")
    again.send(b"\x1b[A")
    again.wait_for("do battery at rest", after="-- battery at rest")
    assert again.finish(INTERRUPT) == 0
    assert "Traceback" not in terminal.screen + again.screen
