"""All entries of all files, gathered by kind before any name is looked up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from diag.model.amounts import excerpt
from diag.model.origin import Origin
from diag.model.problem import Problem
from diag.model.settings import CHANCES
from diag.model.settings import SETTING_WORDS as SETTING_WORDS
from diag.rulebook.build.entries import (
    Entry,
    origin_of,
    raw,
    read_fields,
    read_id,
    texts,
    word_of,
)
from diag.rulebook.build.tables import (
    CASE,
    CAUSE,
    ENTRY_KINDS,
    SCALE,
    SCALES,
    UNIT,
    UNIT_LIMIT,
    WITH_CAUSE,
)
from diag.rulebook.yaml.nodes import Items, Map, Node, read_nodes
from diag.rulebook.yaml.scalars import nearest
from diag.rulebook.yaml.source import SourceFile, read_text

STATUS, DRAFT = "status", "draft"
"""What a whole file may say of itself."""
SECTIONS = (
    "source",
    STATUS,
    *ENTRY_KINDS,
    "cautions",
    "acts",
    "heard as",
    "told as",
    "word weights",
    "word counts",
    "unit limits",
    *SCALES,
    "settings",
)


@dataclass(slots=True, eq=False, repr=False)
class Gathered:
    """Entries by kind and id, and every problem so far."""

    placed: bool = True
    """Whether all places are kept; without them the first problem raises `PlacesWanted`."""
    with_drafts: bool = True
    """Whether files that say `status: draft` are read; where not, they are as if not there."""
    drafts: set[str] = field(default_factory=set)
    """Causes of the files that were left out so."""
    kinds: dict[str, dict[str, Entry]] = field(default_factory=dict)
    scales: dict[str, dict[str, float]] = field(default_factory=dict)
    limits: list[Entry] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    sources: dict[str, SourceFile] = field(default_factory=dict)
    broken: bool = False
    """True once a file could not be read at all, so that its names are missing."""
    _scale_words: dict[tuple[str, str], tuple[SourceFile, Map]] = field(default_factory=dict)

    def of(self, kind: str) -> dict[str, Entry]:
        """Return the entries of a kind by id."""
        return self.kinds.setdefault(kind, {})

    def open(
        self, path: Path, shown_path: str, area: str = ""
    ) -> tuple[SourceFile, Map | None, bytes]:
        """Read one file to its nodes; the map is None when that is not possible or not wanted."""
        source = SourceFile(shown_path, area, path.stem, placed=self.placed)
        data = read_text(path, source)
        top = read_nodes(source)
        if top is not None and not self.with_drafts and top.entries.get(STATUS) == DRAFT:
            self.drafts.update(str(name) for key, name in top.entries.items() if key == "cause")
            return source, None, data
        self.broken = self.broken or top is None
        self.problems += source.problems
        source.problems = self.problems
        self.sources[shown_path] = source
        if top is not None and "source" in top.entries:
            # An origin that cannot be read is one problem, not one more for every number.
            read = origin_of(source, top.entries["source"])
            source.origin = read or Origin("memory")
        return source, top, data

    def add(self, kind: str, entry: Entry) -> None:
        """Keep an entry under its id, unless there is one already."""
        known = self.of(kind)
        first = known.get(entry.id)
        if first is None:
            known[entry.id] = entry
            return
        message = f"`{excerpt(entry.id)}` is already among the {kind}, in {first.place}"
        entry.source.refuse(entry.key, message, "give one of the two another id")

    def add_file(self, source: SourceFile, top: Map) -> None:
        """Keep all entries of one rule file."""
        if "cause" in top.entries:
            self._one(source, top, "causes", "cause", WITH_CAUSE)
        elif "unit" in top.entries:
            self._one(source, top, "units", "unit", ())
        else:
            for key, node in top.entries.items():
                self._section(source, key, node)

    def _one(
        self, source: SourceFile, top: Map, kind: str, word: str, beside: Iterable[str]
    ) -> None:
        """Keep the one cause or unit that a file holds, and the sections beside it."""
        own = Map(top.start_mark, dict(top.entries), top.end_mark)
        for key in beside:
            if key in own.entries:
                written = own.key(key)
                self._section(source, written, own.entries.pop(key))
        before = len(self.problems)
        values = read_fields(source, own, word, CAUSE if word == "cause" else UNIT)
        name = own.entries[word]
        if values is None or word not in values or not isinstance(name, str):
            return
        if read_id(source, name, kind):
            sound = len(self.problems) == before
            self.add(kind, Entry(str(name), source, name, own, values, sound))

    def _section(self, source: SourceFile, key: str, node: Node) -> None:
        if key in ENTRY_KINDS:
            word, _ = ENTRY_KINDS[key]
            for name, item in self._pairs(source, node, key):
                if read_id(source, name, key):
                    self._entry(source, key, word, name, item)
        elif key in ("cautions", "acts"):
            for name, item in self._pairs(source, node, key):
                text = raw(source, item)
                if read_id(source, name, key) and text and isinstance(node, Map):
                    self.add(key, Entry(str(name), source, name, node, {"text": text}))
        elif key in ("heard as", "told as", "word weights", "word counts"):
            for name, item in self._pairs(source, node, key):
                phrases = texts(source, item)
                if phrases and isinstance(node, Map):
                    self.add(key, Entry(str(name), source, name, node, {"phrases": phrases}))
        elif key == "unit limits":
            for item in node.items if isinstance(node, Items) else [node]:
                values = read_fields(source, item, "limit", UNIT_LIMIT)
                if values and len(values) >= 2 and isinstance(item, Map):
                    self.limits.append(Entry("", source, item, item, values))
        elif key in SCALES or key == "settings":
            self._scale(source, key, node)
        elif key == STATUS:
            word_of(DRAFT)(source, node)
        elif key != "source":
            near = nearest(key, (*SECTIONS, "cause", "unit"))
            advice = "cases stand in the folder `cases`" if key == "cases" else near
            source.refuse(key, f"`{excerpt(key)}` is not a section of a rule file", advice)

    def _pairs(self, source: SourceFile, node: Node, key: str) -> Iterable[tuple[str, Node]]:
        if isinstance(node, Map):
            return node.entries.items()
        source.refuse_at(source.place(node), f"`{key}` needs its entries here, each by its id")
        return ()

    def _entry(self, source: SourceFile, kind: str, word: str, name: str, node: Node) -> None:
        before = len(self.problems)
        values = read_fields(source, node, word, CASE if kind == "cases" else ENTRY_KINDS[kind][1])
        if values is not None and isinstance(node, Map):
            sound = len(self.problems) == before
            self.add(kind, Entry(str(name), source, name, node, values, sound))

    def _scale(self, source: SourceFile, key: str, node: Node) -> None:
        values = read_fields(source, node, "scale", SCALE)
        if not values or "words" not in values:
            return
        if "source" not in values and source.origin is None:
            message = f"the numbers of `{key}` do not say where they come from"
            source.refuse_at(source.place(node), message, "add a line `source: ...`")
        words = self.scales.setdefault(key, {})
        assert isinstance(node, Map)
        holder = node.entries["words"]
        assert isinstance(holder, Map)
        for word, value in values["words"].items():
            if key == "settings" and not _is_setting(source, holder, word, value):
                continue
            home, first = self._scale_words.setdefault((key, word), (source, holder))
            if word in words:
                place = home.place(first.key(word))
                message = f"`{excerpt(word)}` is already a word of `{key}`, in {place}"
                source.refuse(holder.key(word), message, "keep one of the two")
            words[word] = value

    def add_cases(self, source: SourceFile, top: Map) -> None:
        """Keep all cases of one file."""
        for key, node in top.entries.items():
            if key == "cases":
                for name, item in self._pairs(source, node, key):
                    if read_id(source, name, key):
                        self._entry(source, key, "case", name, item)
            elif key != "source":
                near = nearest(key, ("source", "cases"))
                source.refuse(key, f"`{excerpt(key)}` is not a section of a case file", near)


def _is_setting(source: SourceFile, holder: Map, word: str, value: float) -> bool:
    """Tell whether a word of `settings` is one with a value that it may have; note why not."""
    if word not in SETTING_WORDS:
        message = f"`{excerpt(word)}` is not a word of `settings`"
        source.refuse(holder.key(word), message, nearest(word, SETTING_WORDS))
        return False
    if word in CHANCES and value > 1:
        message = f"`{excerpt(word)}` is a chance, which is at most 1"
        source.refuse(holder.entries[word], message, "write it as a part of 1")
        return False
    return True
