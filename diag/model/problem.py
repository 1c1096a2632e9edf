"""Where something was read, and what is wrong there: errors are values, gathered and sorted."""

from __future__ import annotations

from dataclasses import field
from typing import NamedTuple

from diag.model.frozen import frozen


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
