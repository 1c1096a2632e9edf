"""Data files outside the rulebook, read by tables that others give: values with their places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from diag.model.problem import DataEntry, DataTable, Place, Problem, ProblemsFound, Shape, Spot
from diag.model.problem import Path as Way
from diag.rulebook.build.entries import (
    SOURCE,
    Field,
    Reader,
    mapping,
    raw,
    read_fields,
    texts,
    word_of,
)
from diag.rulebook.build.gather import DRAFT, STATUS, Gathered
from diag.rulebook.yaml.nodes import Items, Map, Node
from diag.rulebook.yaml.scalars import nearest
from diag.rulebook.yaml.source import SourceFile, rule_files


def read_entries(
    path: Path, section: str, table: DataTable, *, drafts: bool | None = None
) -> Mapping[str, DataEntry]:
    """Read the entries of a section from a file, or from all files of a folder.

    Each says where it comes from, by its own `source` or its file's. `drafts` says whether files
    that are drafts are read; None where no such file can be one. Raises `ProblemsFound` with every
    problem, sorted by place.
    """
    gathered, found = Gathered(with_drafts=drafts is not False), dict[str, DataEntry]()
    sections = ("source", section) if drafts is None else ("source", STATUS, section)
    files = [each for each, _ in rule_files(path, ())] if path.is_dir() else [path]
    if not files:
        gathered.problems.append(Problem(Place(str(path)), "there is no such folder"))
    for each in files:
        source, top, _ = gathered.open(each, str(each))
        for entry in _entries(source, top, sections, table) if top is not None else ():
            if entry.id in found:
                first = found[entry.id].spots[()].place
                message = f"`{entry.id}` is already among the {section}, in {first}"
                gathered.problems.append(entry.problem((), message, "give one another id"))
            found[entry.id] = entry
    if gathered.problems:
        raise ProblemsFound(tuple(sorted(gathered.problems)))
    return found


def _entries(
    source: SourceFile, top: Map, sections: Sequence[str], table: DataTable
) -> Iterator[DataEntry]:
    fields, section = _fields(table), sections[-1]
    for key, value in top.entries.items():
        if key not in sections:
            message = f"`{key}` is not a section of a file of {section}"
            source.refuse(key, message, nearest(key, sections))
        elif key == STATUS:
            word_of(DRAFT)(source, value)
    node = top.entries.get(section)
    if node is not None and not isinstance(node, Map):
        source.refuse(node, f"`name: ...` pairs are expected under `{section}`")
        return
    for name, item in node.entries.items() if node is not None else ():
        values = read_fields(source, item, section.removesuffix("s"), {**fields, "source": SOURCE})
        if values is None or not isinstance(item, Map):
            continue
        origin = values.pop("source", None) or source.origin
        if origin is None:
            message = f"`{name}` does not say where it comes from"
            source.refuse(name, message, "add a line `source: ...`")
            continue
        spots = dict(_spots(source, item, ()))
        yield DataEntry(str(name), values, {**spots, (): _spot(source, name)}, origin)


def _fields(table: DataTable) -> dict[str, Field]:
    return {
        name: Field(
            _entries_within(name, key.within) if key.shape == "entries" else _READERS[key.shape],
            key.required,
        )
        for name, key in table.items()
    }


def _entries_within(name: str, table: DataTable) -> Reader:
    """Make a reader of entries by name that stand under a key of another."""
    fields, what = _fields(table), name.removesuffix("s")

    def read(source: SourceFile, node: Node) -> dict[str, Mapping[str, Any]] | None:
        if not isinstance(node, Map):
            source.refuse(node, f"`name: ...` pairs are expected under `{name}`")
            return None
        found = {
            str(key): read_fields(source, item, what, fields) for key, item in node.entries.items()
        }
        return {key: values for key, values in found.items() if values is not None}

    return read


def _rows(source: SourceFile, node: Node) -> tuple[tuple[str, str], ...] | None:
    """Read a list of pairs, each written as a mapping of one key."""
    if not isinstance(node, Items):
        source.refuse(node, "a list of `- name: ...` lines is expected here")
        return None
    found = []
    for item in node.items:
        if not isinstance(item, Map) or len(item.entries) != 1:
            source.refuse(item, "one pair `name: ...` is expected in each line of this list")
            continue
        for name, value in item.entries.items():
            text = raw(source, value)
            if text is not None:
                found.append((str(name), text))
    return tuple(found)


_READERS: Mapping[Shape, Reader] = {
    "text": raw,
    "texts": texts,
    "mapping": mapping(raw),
    "rows": _rows,
}


def _spots(source: SourceFile, node: Node, way: Way) -> Iterator[tuple[Way, Spot]]:
    """Yield where every value of an entry stands."""
    yield way, _spot(source, node)
    if isinstance(node, Map):
        for key, value in node.entries.items():
            yield from _spots(source, value, (*way, str(key)))
    elif isinstance(node, Items):
        for number, value in enumerate(node.items):
            yield from _spots(source, value, (*way, number))


def _spot(source: SourceFile, node: Any) -> Spot:
    place = source.place(node)
    end = node.end_mark
    same = end is not None and end.line + 1 == place.line
    width = end.column + 1 - place.column if same else 1
    return Spot(place, source.line(place.line), width)
