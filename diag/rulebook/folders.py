"""Which files of a folder are rule files."""

from collections.abc import Iterator
from pathlib import Path

CASES = "cases"


def rule_files(folder: Path, skip: str = CASES) -> Iterator[tuple[Path, str]]:
    """Yield what looks like a rule file, with its name in the folder, in order of name.

    Hidden files are left out, and all that lies in the folder `skip`. Files named `.yml` are
    yielded too, for the reader to refuse.
    """
    named = sorted((path.relative_to(folder).as_posix(), path) for path in folder.rglob("*"))
    for name, path in named:
        parts = name.split("/")
        if any(part.startswith(".") for part in parts) or (skip and parts[0] == skip):
            continue
        if path.suffix in (".yaml", ".yml"):
            yield path, name
