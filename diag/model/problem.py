"""Where something was read, and what is wrong there: errors are values, gathered and sorted.

Entries of data files outside the rulebook keep the place of every value: whoever knows what these
mean gives the `DataTable`, and says by `DataEntry.problem` what is wrong with one of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any, Literal, NamedTuple

from diag.model.frozen import frozen
from diag.model.origin import Origin


class Place(NamedTuple):
    """A spot in a text: file, line and column, both counted from 1."""

    path: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}" if self.line else self.path


@frozen
class Problem:
    """One thing wrong in a file: what, where, the line itself, and what to do next."""

    place: Place
    message: str
    advice: str = ""
    line_text: str = field(default="", compare=False)
    width: int = field(default=1, compare=False)
    code: str = field(default="", compare=False)

    def __lt__(self, other: Problem) -> bool:
        """Order by place, so that a list of problems is read from the top down."""
        mine, its = (self.place, self.message), (other.place, other.message)
        return (*mine, self.advice) < (*its, other.advice)

    def __str__(self) -> str:
        lines = [f"{self.place}: {self.message}"]
        if self.line_text:
            caret = " " * (self.place.column - 1) + "^" * max(1, self.width)
            lines += [f"  | {self.line_text}", f"  | {caret}"]
        if self.advice:
            lines.append(f"  {self.advice}")
        return "\n".join(lines)


class ProblemsFound(Exception):
    """Raised once, with all the problems of a run."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


Shape = Literal["text", "texts", "mapping", "rows", "entries"]
"""One text, a list of texts, texts by name, a list of pairs of a name and a text, or entries in
turn, by name, in the order in which they stand."""


@frozen
class DataKey:
    """Hold what may stand under a key of an entry, and whether it has to.

    `within` are the keys of each of its entries, where its shape is `entries`.
    """

    shape: Shape = "text"
    required: bool = False
    within: DataTable = field(default_factory=dict)


DataTable = Mapping[str, DataKey]
Path = tuple[str | int, ...]
"""From an entry to a value in it: keys, and numbers of rows from 0."""


class Spot(NamedTuple):
    """Hold where a value stands, its line and its width."""

    place: Place
    line: str
    width: int


@frozen
class DataEntry:
    """Hold one entry: values by key in the shape that the table gave them."""

    id: str
    values: Mapping[str, Any]
    spots: Mapping[Path, Spot]
    origin: Origin

    def problem(self, path: Path, message: str, advice: str = "") -> Problem:
        """Give a problem with a value, at its place or at that of what holds it."""
        while path and path not in self.spots:
            path = path[:-1]
        spot = self.spots[path]
        return Problem(spot.place, message, advice, spot.line, spot.width)
