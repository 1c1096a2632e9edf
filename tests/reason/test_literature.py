"""Whoever reads a module of `reason` learns whose algorithm it is."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import diag.reason

MODULES = sorted(
    path for path in Path(diag.reason.__file__).parent.rglob("*.py") if path.name != "__init__.py"
)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_a_module_names_its_literature(path: Path) -> None:
    """Its docstrings give a source with its year, or say that it is an idea of ours."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = [node for node in ast.walk(tree) if isinstance(node, ast.Module | ast.ClassDef)]
    told = "\n".join(ast.get_docstring(node) or "" for node in nodes)
    assert re.search(r"\b(19|20)\d\d\b|[Aa]n idea of ours", " ".join(told.split()))
