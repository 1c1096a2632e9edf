"""What units there are, told from their own files before all rules are read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from diag.rulebook.yaml.nodes import Map, read_nodes
from diag.rulebook.yaml.source import SourceFile, read_text, rule_files

UNIT_FILE = re.compile(rb"^unit:", re.MULTILINE)


def unit_titles(folders: Iterable[Path]) -> dict[str, str]:
    """Return the id and title of each unit in these folders of rules, in the order of reading.

    A unit file that cannot be read is left out here: `load_rulebook` tells what is wrong with it.
    """
    found: dict[str, str] = {}
    for folder in folders:
        for path, _ in rule_files(folder):
            source = SourceFile(str(path))
            if UNIT_FILE.search(read_text(path, source)):
                top = read_nodes(source)
                name = _text(top, "unit")
                if name:
                    found.setdefault(name, _text(top, "title"))
    return found


def _text(top: Map | None, key: str) -> str:
    node = top.entries.get(key) if top is not None else None
    return str(node) if isinstance(node, str) else ""
