"""Entries of data files outside the rulebook, as they were written, with the place of each value.

Whoever knows what the values mean gives the `DataTable`, and says by `DataEntry.problem` what is
wrong with one of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

from diag.model.origin import Origin
from diag.model.problem import Place, Problem

Shape = Literal["text", "texts", "mapping", "rows"]
"""One text, a list of texts, texts by name, or a list of pairs of a name and a text."""


@dataclass(frozen=True, slots=True)
class Key:
    """Hold what may stand under a key of an entry, and whether it has to."""

    shape: Shape = "text"
    required: bool = False


DataTable = Mapping[str, Key]
Path = tuple[str | int, ...]
"""From an entry to a value in it: keys, and numbers of rows from 0."""


class Spot(NamedTuple):
    """Hold where a value stands, its line and its width."""

    place: Place
    line: str
    width: int


@dataclass(frozen=True, slots=True)
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
