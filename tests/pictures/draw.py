"""Pictures of the terminal for the README: a real session and a real sheet, drawn as SVG.

`python -m tests.pictures.draw`, in the checkout, draws them anew.
"""

from __future__ import annotations

import io
import os
import shlex
import sys
import tempfile
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

from diag.cli.app import run
from diag.cli.guard import guarded

HERE = Path(__file__).parent
COLUMNS = 80
CELL = 12.2
"""How wide a letter is drawn, in the picture's own measure."""
GROUND, INK = (28, 32, 38), (222, 226, 230)
EIGHT = [GROUND, (235, 120, 110), (130, 200, 130), (225, 190, 100), (130, 170, 235),
         (205, 150, 220), (110, 200, 205), INK]  # fmt: skip
TEMPLATE = """\
<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>
.{unique_id}-matrix {{ font-family: monospace; font-size: {char_height}px; }}
.{unique_id}-title {{ }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal">
<rect x="0" y="0" width="{terminal_width}" height="{terminal_height}" />
</clipPath>
{lines}
</defs>
<rect width="100%" height="100%" rx="8" fill="GROUND" stroke="#7d8590" stroke-width="3" />
<g transform="translate({terminal_x}, {terminal_y})" clip-path="url(#{unique_id}-clip-terminal)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


@dataclass(frozen=True, slots=True)
class Picture:
    """What is typed for a picture, and from which line to which of the screen it shows."""

    words: str
    typed: tuple[str, ...] = ()
    first: str = ""
    last: str = ""


PICTURES: Mapping[str, Picture] = {
    "session": Picture(
        "diag ask --unit LIB-03 --complaint 'will not start' --profile workshop",
        (
            *("none", "lit", "fault", "unsure", "unsure", "runs", "silent", "no"),
            *("no", "no", "lead-acid", "none", "skip", "20 mA", "12.3", "10,1", "7.9"),
            *("3", "4", "15", "0.2", "2.1"),
        ),
        first="-- drop along the cables",
        last="Wiring may be work",
    ),
    "sheet": Picture("diag sequence 'radio noise'"),
}


class _Hand:
    """A keyboard at which each of some lines is typed; a terminal shows them as they are."""

    def __init__(self, lines: Sequence[str]) -> None:
        self._lines = iter(lines)

    def isatty(self) -> bool:
        return True

    def readline(self, limit: int = -1) -> str:
        line = next(self._lines, None)
        if line is None:
            return ""
        print(line)
        return f"{line}\n"


class _Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@contextmanager
def _terminal(typed: Sequence[str]) -> Iterator[io.StringIO]:
    """Put a terminal in colour, with somebody who types, in the place of this one."""
    environment, words, keys = dict(os.environ), sys.argv, sys.stdin
    out = _Terminal()
    with tempfile.TemporaryDirectory() as home, redirect_stdout(out):
        os.environ |= {"COLUMNS": str(COLUMNS), "TERM": "xterm-256color", "DIAG_HOME": home}
        os.environ.pop("NO_COLOR", None)
        sys.stdin = _Hand(typed)  # type: ignore[assignment]
        try:
            yield out
        finally:
            sys.argv, sys.stdin = words, keys
            os.environ.clear()
            os.environ.update(environment)


def screen(picture: Picture) -> str:
    """Run what a picture shows and return its part of the screen, colours and all."""
    with _terminal(picture.typed) as out:
        sys.argv = shlex.split(picture.words)
        code = _ended()
    if code:
        raise ValueError(out.getvalue())
    lines = [f"$ {picture.words}", *out.getvalue().rstrip("\n").split("\n")]
    if picture.first:
        lines = lines[_at(lines, picture.first) : _at(lines, picture.last) + 1]
    return "\n".join(lines)


def _ended() -> object:
    """Run the command that was typed; return its exit code."""
    try:
        with guarded():
            return run()
    except SystemExit as left:
        return left.code


def _at(lines: Sequence[str], text: str) -> int:
    return next(at for at, line in enumerate(lines) if text in line)


def plain(shown: str) -> list[str]:
    """Return the lines of a screen without colours and without blanks at their ends."""
    return [line.rstrip() for line in Text.from_ansi(shown).plain.split("\n")]


def drawn(shown: str) -> str:
    """Return a screen as SVG that fetches nothing: its letters are those of the reader."""
    console = Console(
        record=True, width=COLUMNS, file=io.StringIO(), force_terminal=True,
        color_system="truecolor", legacy_windows=False,
    )  # fmt: skip
    console.print(Text.from_ansi(shown), soft_wrap=True)
    ground = "#" + "".join(f"{one:02x}" for one in GROUND)
    return console.export_svg(
        theme=TerminalTheme(GROUND, INK, EIGHT),
        code_format=TEMPLATE.replace("GROUND", ground),
        unique_id="diag",
    )


def text_of(svg: str) -> list[str]:
    """Return the lines of text that a picture shows, without blanks at their ends."""
    rows: dict[float, list[tuple[int, str]]] = {}
    for each in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        at = round(float(each.attrib["x"]) / CELL)
        rows.setdefault(float(each.attrib["y"]), []).append((at, each.text or ""))
    lines = []
    for y in sorted(rows):
        line = ""
        for at, text in sorted(rows[y]):
            line = line.ljust(at) + text.replace("\xa0", " ")
        lines.append(line.rstrip())
    return lines


if __name__ == "__main__":
    for name, picture in PICTURES.items():
        (HERE / f"{name}.svg").write_text(drawn(screen(picture)), encoding="utf-8")
