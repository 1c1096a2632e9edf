"""Thresholds without the rest of the rules, for who needs no more than a few limits.

A file in which nothing is wrong is read here in the time of its YAML. At the first doubt the
reader of all rules takes over, which alone says what is wrong.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from diag.model.amounts import amount
from diag.model.problem import Place, Problem, ProblemsFound
from diag.model.quantity import Quantity
from diag.model.threshold import Threshold
from diag.rulebook.language.tokens import why_no_id
from diag.rulebook.yaml.nodes import Map, Node, read_nodes
from diag.rulebook.yaml.scalars import origin
from diag.rulebook.yaml.source import PlacesWanted, SourceFile, read_text

FILE = "thresholds.yaml"
KEYS = frozenset({"title", "value", "proportional to", "source"})


class _Doubtful(ValueError):
    """Something here may be wrong."""


def load_thresholds(folder: Path) -> Mapping[str, Threshold]:
    """Read the thresholds of a folder's `thresholds.yaml` alone; raises `ProblemsFound`.

    What a threshold is proportional to is not looked up: that is for the whole rulebook.
    """
    path = folder / FILE
    if not path.is_file():
        problem = Problem(Place(str(path)), "there is no such file", f"add `{FILE}` to the rules")
        raise ProblemsFound((problem,))
    try:
        return _sound(path)
    except (PlacesWanted, ValueError):
        return _in_full(path)


def _sound(path: Path) -> dict[str, Threshold]:
    """Read a file in which nothing is wrong; raises `PlacesWanted` or `ValueError` otherwise."""
    source = SourceFile(str(path), placed=False)
    read_text(path, source)
    top = read_nodes(source)
    keys = top.entries.keys() if top is not None else set()
    if source.problems or top is None or not {"thresholds"} <= keys <= {"source", "thresholds"}:
        raise _Doubtful
    usual, section = top.entries.get("source", ""), _map(top.entries["thresholds"])
    found = {}
    for name, node in sorted(section.entries.items()):
        held = _map(node).entries
        if why_no_id(name) or "value" not in held or not held.keys() <= KEYS:
            raise _Doubtful
        found[str(name)] = Threshold(
            str(name),
            amount(_text(held["value"])),
            _amounts(held.get("proportional to")),
            _text(held["title"]) if "title" in held else "",
            origin(_text(held.get("source", usual))),
            source.place(name),
        )
    return found


def _amounts(node: Node | None) -> dict[str, Quantity]:
    entries = {} if node is None else _map(node).entries
    return {str(name): amount(_text(item)) for name, item in entries.items()}


def _map(node: Node) -> Map:
    if not isinstance(node, Map):
        raise _Doubtful
    return node


def _text(node: Node) -> str:
    """Return a text that is there and no placeholder, `<...>`."""
    text = node.strip() if isinstance(node, str) else ""
    if not text or text[0] == "<":
        raise _Doubtful
    return text


def _in_full(path: Path) -> dict[str, Threshold]:
    from diag.rulebook.build.gather import Gathered
    from diag.rulebook.build.thresholds import thresholds

    gathered = Gathered()
    source, top, _ = gathered.open(path, str(path))
    if top is not None:
        gathered.add_file(source, top)
    found = {} if gathered.problems else thresholds(gathered)
    if gathered.problems:
        raise ProblemsFound(tuple(sorted(gathered.problems)))
    return found
