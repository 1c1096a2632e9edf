"""The session in `told-session.txt` is a real one: what is typed there brings what stands there.

When the rules have changed what is asked, `python tests/cli/test_told_session.py` writes the
session anew; words behind it are typed in the place of the lines that stand there.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

FILE = Path(__file__).parent / "told-session.txt"
ROOT = Path(__file__).parents[2]
DIAG = (sys.executable, "-c", "from diag.cli import main; main()")
BEGIN = ("ask", "--unit", "LIB-03", "--complaint", "will not start")
BEFORE = ("none", "lit", "fault", "unsure", "unsure", "runs", "silent", "no")
"""The look round for danger, the panel and one watched start, answered before."""


def told(typed: list[str]) -> str:
    """Return what a session says from the first line typed on."""
    with tempfile.TemporaryDirectory() as home:
        run = subprocess.run(
            [*DIAG, *BEGIN],
            input="\n".join((*BEFORE, *typed)) + "\n",
            capture_output=True,
            text=True,
            env={**os.environ, "DIAG_HOME": home},
            cwd=ROOT,
            check=True,
            timeout=120,
        )
    return run.stdout.split("> " + BEFORE[-1] + "\n", 1)[1].strip()


def written() -> str:
    """Return the session as it is told."""
    return FILE.read_text(encoding="utf-8").strip()


def typed_in(session: str) -> list[str]:
    """Return the lines that are typed in a session."""
    return [line[2:] for line in session.splitlines() if line.startswith("> ")]


def test_the_told_session_is_real() -> None:
    """Typing what the file shows brings, line by line, what the file shows."""
    session = written()
    assert session.splitlines() == told(typed_in(session)).splitlines()


if __name__ == "__main__":
    FILE.write_text(told(sys.argv[1:] or typed_in(written())) + "\n", encoding="utf-8")
