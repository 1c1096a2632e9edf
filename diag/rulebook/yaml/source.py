"""Files on their way in: which a folder holds, what each says, and what was found wrong in it."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from stat import S_ISDIR, S_ISREG
from typing import TYPE_CHECKING, Any

from diag.model.problem import Place, Problem

if TYPE_CHECKING:
    from diag.model.rulebook import Origin

CASES = "cases"
WORLD = "workshop"
LESSONS = "lessons"
ASIDE = (CASES, WORLD, LESSONS)
"""Folders of a rulebook that hold no rules."""
LARGEST = 16_000_000
WIDEST = 200
"""Longer lines are not shown under a message."""
FORBIDDEN = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff"
    r"\ufeff\ufffe\uffff]"
)
"""What could steer a terminal, turn the direction of writing or break a line unseen."""


class PlacesWanted(Exception):
    """Raised where a place is wanted that was not kept: all has to be read with its places."""


@dataclass(slots=True, eq=False, repr=False)
class SourceFile:
    """One file on its way in: where it is, what it says, and all that was found wrong in it."""

    path: str
    area: str = ""
    stem: str = ""
    text: str = ""
    problems: list[Problem] = field(default_factory=list)
    origin: Origin | None = None
    placed: bool = True
    """Whether each node keeps its place, as it must where something is wrong."""
    _lines: list[str] | None = None

    def place(self, node: Any) -> Place:
        """Return where a node starts; raises `PlacesWanted`."""
        try:
            mark = node.start_mark
        except AttributeError:
            raise PlacesWanted from None
        return Place(self.path, mark.line + 1, mark.column + 1)

    def line(self, number: int) -> str:
        """Return a line of the text, counted from 1; empty beyond its end."""
        if self._lines is None:
            self._lines = self.text.splitlines()
        return self._lines[number - 1] if 0 < number <= len(self._lines) else ""

    def refuse_at(self, place: Place, message: str, advice: str = "", width: int = 1) -> None:
        """Note what is wrong at a place; raises `PlacesWanted`."""
        if not self.placed:
            raise PlacesWanted
        line = FORBIDDEN.sub("?", self.line(place.line)).replace("\t", " ")
        if len(line) > WIDEST:
            line = line[:WIDEST] if place.column <= WIDEST else ""
        width = max(1, min(width, len(line) - place.column + 1))
        self.problems.append(Problem(place, message, advice, line, width))

    def refuse(self, node: Any, message: str, advice: str = "") -> None:
        """Note what is wrong with a node, all of it underlined when it stands on one line."""
        place = self.place(node)
        end = node.end_mark
        width = end.column + 1 - place.column if end and end.line + 1 == place.line else 1
        self.refuse_at(place, message, advice, width)

    def refuse_within(self, text: str, at: int, width: int, message: str, advice: str = "") -> None:
        """Note what is wrong at an offset into a text; raises `PlacesWanted`."""
        self.refuse_at(self._place_within(text, at), message, advice, width)

    def _place_within(self, node: Any, at: int) -> Place:
        """Count the scalar's characters that are not blank, and find the same one in the file."""
        place, last = self.place(node), node.end_mark
        line, column = place.line - 1, place.column - 1
        if node.style in ("'", '"'):
            column += 1
        elif node.style in ("|", ">"):
            line, column = line + 1, 0
        left = len("".join(node[:at].split()))
        while line <= last.line:
            text = self.line(line + 1)
            for spot in range(column, len(text)):
                if not text[spot].isspace():
                    if left == 0:
                        return Place(self.path, line + 1, spot + 1)
                    left -= 1
            line, column = line + 1, 0
        return place


def rule_files(folder: Path, skip: Collection[str] = ASIDE) -> Iterator[tuple[Path, str]]:
    """Yield what looks like a rule file, with its name in the folder, in order of name.

    Hidden files are left out, and all that lies in the folders `skip`. Files named `.yml` are
    yielded too, for the reader to refuse.
    """
    if not folder.is_dir():
        return
    base = str(folder).rstrip(os.sep)
    found: list[str] = []
    for where, folders, files in os.walk(base):
        below = where[len(base) + 1 :].replace(os.sep, "/")
        found += [f"{below}/{each}" if below else each for each in (*folders, *files)]
    for name in sorted(found):
        hidden = name.startswith(".") or "/." in name
        if name.endswith((".yaml", ".yml")) and not hidden and name.split("/")[0] not in skip:
            yield folder / name, name


class NotRead(ValueError):
    """A file that cannot be read; the sentence says why and what to do, parted by `; `."""

    def __init__(self, message: str, advice: str) -> None:
        super().__init__(f"{message}; {advice}")
        self.message = message
        self.advice = advice


def bytes_of(path: Path, most: int = LARGEST) -> bytes:
    """Return what a plain file holds, at most so many bytes; raises `NotRead` otherwise.

    A device may have no end, and a pipe waits for a writer, so that neither is opened.
    """
    try:
        about = path.stat()
        if S_ISDIR(about.st_mode):
            raise NotRead("this is a folder", "name a file in it")
        if not S_ISREG(about.st_mode):
            raise NotRead("this is no plain file", "name a file that lies on a disk")
        if about.st_size > most:
            message = f"the file holds {about.st_size} bytes, the most that is read is {most} bytes"
            raise NotRead(message, "split it into several files")
        with path.open("rb", buffering=0) as file:
            return file.read(about.st_size)  # asked for more, it would make room for it
    except FileNotFoundError:
        raise NotRead("there is no such file", "check the name") from None
    except NotRead:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        message = f"the file cannot be read: {reason.lower()}"
        raise NotRead(message, "check its rights") from None


def read_text(path: Path, source: SourceFile) -> bytes:
    """Read a file into its source; note why it cannot be used, and return its bytes."""
    try:
        data = bytes_of(path)
    except NotRead as error:
        source.problems.append(Problem(Place(source.path), error.message, error.advice))
        return b""
    try:
        source.text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = len(data[data.rfind(b"\n", 0, error.start) + 1 : error.start].decode()) + 1
        message = f"the byte `{data[error.start]:02x}` is not UTF-8"
        place = Place(source.path, line, column)
        source.problems.append(Problem(place, message, "save the file as UTF-8"))
    return data
