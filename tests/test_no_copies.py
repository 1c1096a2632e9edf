"""No copy of more than ten lines: neither in the code, renamed or not, nor among the rules.

Imports, and tables of different data that only look alike, are no copies.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).parents[1]
MOST = 10
LEAST_ROWS = 3
"""Rows from which an entry of rules can be a copy: two may be told the same way by chance."""
NAMES_ONLY = {"title", "source", "note"}
"""Keys of an entry that say nothing of what it is about."""

Found = Iterator[tuple[Hashable, str]]
"""What may stand only once, each with where it stands."""


def _blank(node: ast.AST) -> str:
    """Return the shape of code: what is left of it without its names, texts and numbers."""
    fields = (value for _, value in ast.iter_fields(node))
    parts = (part for value in fields for part in (value if isinstance(value, list) else [value]))
    return f"{type(node).__name__}({','.join(_blank(p) for p in parts if isinstance(p, ast.AST))})"


def _is_text(statement: ast.AST) -> bool:
    return isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)


def same_lines(path: Path) -> Found:
    """Yield every eleven lines of code on end, whatever their indent; imports left out."""
    text = path.read_text("utf-8")
    imported = {
        line
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    }
    lines = [
        (number, " ".join(line.split()))
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and number not in imported
    ]
    for first in range(len(lines) - MOST):
        run = lines[first : first + MOST + 1]
        yield tuple(line for _, line in run), f"{path.relative_to(ROOT)}:{run[0][0]}"


def same_shape(path: Path) -> Found:
    """Yield the shape of statements on end inside a function that take eleven lines or more."""
    functions = (
        node
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef)
    )
    blocks = {
        id(block): block
        for function in functions
        for node in ast.walk(function)
        for block in (getattr(node, "body", []), getattr(node, "orelse", []))
        if isinstance(block, list)
    }
    for whole in blocks.values():
        block = [each for each in whole if not _is_text(each)]
        shapes = [_blank(each) for each in block]
        for first, begun in enumerate(block):
            ends = ((last, each.end_lineno or 0) for last, each in enumerate(block[first:], first))
            long = (last for last, line in ends if line - begun.lineno >= MOST)
            if (last := next(long, None)) is not None:
                yield tuple(shapes[first : last + 1]), f"{path.relative_to(ROOT)}:{begun.lineno}"


def same_entry(path: Path) -> Found:
    """Yield what each entry of a rule file says, by its section, whatever it is called.

    Two parts of the world may be alike in number, as two cables are.
    """
    if path.parent == ROOT / "rules" / "workshop" / "numbers":
        return
    read: dict[str, Any] = yaml.load(path.read_text("utf-8"), yaml.BaseLoader)
    single = read.keys() & {"cause", "unit"}
    for section, entries in {key: {read[key]: read} for key in single}.items() or read.items():
        for name, body in entries.items() if isinstance(entries, dict) else ():
            kept = body.keys() - {*NAMES_ONLY, section} if isinstance(body, dict) else ()
            said = frozenset(_rows({key: body[key] for key in kept}))
            if len(said) >= LEAST_ROWS:
                yield (section, said), f"{path.relative_to(ROOT)}: {name}"


def _rows(said: Any, *under: str) -> Iterator[tuple[str, ...]]:
    """Yield each text of an entry after the keys above it."""
    parts = said if isinstance(said, dict) else dict(enumerate(said))
    for key, value in parts.items():
        if isinstance(value, str):
            yield (*under, str(key), value)
        else:
            yield from _rows(value, *under, str(key))


@pytest.mark.parametrize(
    ("folder", "ending", "what"),
    [
        ("diag", "py", same_lines),
        ("tests", "py", same_lines),
        ("diag", "py", same_shape),
        ("tests", "py", same_shape),
        ("rules", "yaml", same_entry),
    ],
)
def test_nothing_stands_twice(folder: str, ending: str, what: Callable[[Path], Found]) -> None:
    """No eleven lines of code, nor as many of one shape, nor an entry of rules stands twice."""
    where: dict[Hashable, list[str]] = defaultdict(list)
    for path in sorted((ROOT / folder).rglob(f"*.{ending}")):
        for said, place in what(path):
            where[said].append(place)
    assert [] == [places for places in where.values() if len(places) > 1]
