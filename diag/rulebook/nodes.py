"""From bytes to nodes that know their place: YAML events, with all that misleads refused."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from diag.model.place import Place, Problem

if TYPE_CHECKING:
    from diag.model.knowledge import Origin

LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)
"""Only its events are used: nothing is ever constructed from a tag."""
DEEPEST = 40
LARGEST = 16_000_000
WIDEST = 200
"""Longer lines are not shown under a message."""

FORBIDDEN = re.compile(
    r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff"
    r"\ufeff\ufffe\uffff]"
)
"""What could steer a terminal, turn the direction of writing or break a line unseen."""
_STEERING = bytes(code for code in range(128) if FORBIDDEN.match(chr(code)))


@dataclass(slots=True, eq=False, repr=False)
class Map:
    """A mapping: key to the key as written and its value, in order."""

    start_mark: Any
    entries: dict[str, tuple[ScalarEvent, Node]] = field(default_factory=dict)
    end_mark: Any = None


@dataclass(slots=True, eq=False, repr=False)
class Items:
    """A list."""

    start_mark: Any
    items: list[Node] = field(default_factory=list)
    end_mark: Any = None


Node = ScalarEvent | Map | Items
"""A scalar stays the event that the parser gave: its raw text, its style and its marks."""


@dataclass(slots=True, eq=False, repr=False)
class Source:
    """One file on its way in: where it is, what it says, and all that was found wrong in it."""

    path: str
    area: str = ""
    stem: str = ""
    text: str = ""
    problems: list[Problem] = field(default_factory=list)
    origin: Origin | None = None
    _lines: list[str] | None = None

    def place(self, node: Any) -> Place:
        """Return where a node starts."""
        mark = node.start_mark
        return Place(self.path, mark.line + 1, mark.column + 1)

    def line(self, number: int) -> str:
        """Return a line of the text, counted from 1; empty beyond its end."""
        if self._lines is None:
            self._lines = self.text.splitlines()
        return self._lines[number - 1] if 0 < number <= len(self._lines) else ""

    def refuse_at(self, place: Place, message: str, advice: str = "", width: int = 1) -> None:
        """Note what is wrong at a place."""
        line = FORBIDDEN.sub("?", self.line(place.line)).replace("\t", " ")
        if len(line) > WIDEST:
            line = line[:WIDEST] if place.column <= WIDEST else ""
        width = max(1, min(width, len(line) - place.column + 1))
        self.problems.append(Problem(place, message, advice, line, width))

    def refuse(self, node: Any, message: str, advice: str = "") -> None:
        """Note what is wrong with a node, all of it underlined when it stands on one line."""
        start, end = node.start_mark, node.end_mark
        width = end.column - start.column if end is not None and end.line == start.line else 1
        self.refuse_at(self.place(node), message, advice, width)

    def refuse_within(
        self, node: ScalarEvent, at: int, width: int, message: str, advice: str = ""
    ) -> None:
        """Note what is wrong at an offset into a scalar's value."""
        self.refuse_at(self._place_within(node, at), message, advice, width)

    def _place_within(self, node: ScalarEvent, at: int) -> Place:
        """Count the value's characters that are not blank, and find the same one in the file."""
        start: Any = node.start_mark
        last: Any = node.end_mark
        line, column = start.line, start.column
        if node.style in ("'", '"'):
            column += 1
        elif node.style in ("|", ">"):
            line, column = line + 1, 0
        left = len("".join(node.value[:at].split()))
        while line <= last.line:
            text = self.line(line + 1)
            for spot in range(column, len(text)):
                if not text[spot].isspace():
                    if left == 0:
                        return Place(self.path, line + 1, spot + 1)
                    left -= 1
            line, column = line + 1, 0
        return self.place(node)


def read_text(path: Path, source: Source) -> bytes:
    """Read a file into its source; note why it cannot be used, and return its bytes."""
    whole = Place(source.path)
    if path.is_dir():
        source.problems.append(Problem(whole, "this is a folder", "name a file in it"))
        return b""
    try:
        if not path.is_file():
            source.problems.append(Problem(whole, "there is no such file", "check the name"))
            return b""
        size = path.stat().st_size
        if size > LARGEST:
            message = f"the file holds {size} bytes, the most that is read is {LARGEST} bytes"
            source.problems.append(Problem(whole, message, "split it into several files"))
            return b""
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        problem = Problem(whole, f"the file cannot be read: {reason.lower()}", "check its rights")
        source.problems.append(problem)
        return b""
    try:
        source.text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = len(data[data.rfind(b"\n", 0, error.start) + 1 : error.start].decode()) + 1
        message = f"the byte `{data[error.start]:02x}` is not UTF-8"
        place = Place(source.path, line, column)
        source.problems.append(Problem(place, message, "save the file as UTF-8"))
    return data


def _forbidden(text: str) -> re.Match[str] | None:
    # Plain ASCII is told by its bytes in a tenth of the time that the pattern takes.
    plain = text.isascii() and (data := text.encode()).translate(None, _STEERING) == data
    return None if plain else FORBIDDEN.search(text)


def read_nodes(source: Source) -> Map | None:
    """Turn the text of a source into the mapping that it holds, or note why not."""
    text = source.text
    if source.problems and source.problems[-1].place.path == source.path:
        return None
    forbidden = _forbidden(text)
    if forbidden:
        line = text.count("\n", 0, forbidden.start()) + 1
        column = forbidden.start() - text.rfind("\n", 0, forbidden.start())
        message = f"the control character U+{ord(forbidden.group()):04X} may not stand in a file"
        source.refuse_at(Place(source.path, line, column), message, "take it out")
        return None
    try:
        top = _Builder(source).build(LOADER(text).get_event)
    except _Stopped:
        return None
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(source.path, mark.line + 1, mark.column + 1) if mark else Place(source.path)
        what = " ".join(filter(None, (error.context, error.problem)))
        advice = "look at the indents, quotes, colons and brackets here and on the line above"
        source.refuse_at(place, f"this is not YAML: {what}", advice)
        return None
    except yaml.YAMLError as error:
        message = f"this is not YAML: {str(error).splitlines()[0]}"
        source.problems.append(Problem(Place(source.path), message))
        return None
    if top is None or (isinstance(top, ScalarEvent) and not top.value):
        source.problems.append(
            Problem(Place(source.path), "the file is empty", "fill or delete it")
        )
        return None
    if not isinstance(top, Map):
        source.refuse(top, "the file holds no keys", "write `key: value` lines")
        return None
    return top


class _Stopped(Exception):
    """What follows in the file cannot be made sense of; the problem is noted already."""


class _Builder:
    """Stacks open mappings and lists, so that depth costs no recursion."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.stack: list[Any] = []
        self.documents = 0

    def build(self, next_event: Any) -> Node | None:
        """Return the top node, None when there is none; raises `_Stopped`."""
        top: Node | None = None
        entries: Any = None  # of the open mapping; None inside a list
        items: Any = None  # of the open list; None inside a mapping
        key: Any = None
        while (event := next_event()) is not None:
            kind = event.__class__
            node = event
            if kind is ScalarEvent:
                if event.style == '"' or event.tag is not None or event.anchor is not None:
                    self._mark_scalar(event)
                if entries is not None and key is None:
                    key = event
                    if event.value in entries:
                        self._refuse_repeat(event, entries[event.value][0])
                    continue
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                node = self._open(event, entries is not None and key is None)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                entries, items = self._close(event)
                continue
            else:
                self._other(event)
                continue
            if entries is not None:
                entries[key.value] = (key, node)
                key = None
            elif items is not None:
                items.append(node)
            else:
                top = node
            if node is not event:
                entries, items = _inside(node)
        return top

    def _open(self, event: Any, as_key: bool) -> Map | Items:
        if event.anchor is not None or event.tag is not None:
            self._mark_scalar(event)
        if as_key:
            self._stop(event, "a key must be a plain phrase", "write `key: value`")
        if len(self.stack) == DEEPEST:
            self._stop(event, f"more than {DEEPEST} levels deep", "write it flatter")
        made = Map if event.__class__ is MappingStartEvent else Items
        self.stack.append(made(event.start_mark))
        node: Map | Items = self.stack[-1]
        return node

    def _close(self, event: Any) -> tuple[Any, Any]:
        self.stack.pop().end_mark = event.end_mark
        return _inside(self.stack[-1]) if self.stack else (None, None)

    def _other(self, event: Any) -> None:
        if event.__class__ is AliasEvent:
            message = f"the alias `*{event.anchor}` may not be used"
            self._stop(event, message, "write it out again")
        if event.__class__ is DocumentStartEvent:
            self.documents += 1
            if self.documents > 1:
                self._stop(event, "a second document starts here", "one document to a file")

    def _stop(self, event: Any, message: str, advice: str) -> NoReturn:
        self.source.refuse(event, message, advice)
        raise _Stopped

    def _mark_scalar(self, event: Any) -> None:
        """Refuse an anchor, a tag, or a control character behind an escape."""
        if event.anchor is not None:
            message = f"the anchor `&{event.anchor}` may not be used"
            self.source.refuse(event, message, "take it out")
        if event.tag is not None:
            message = f"the tag `{event.tag}` may not be used"
            self.source.refuse(event, message, "every value is read as plain text: take it out")
        if event.__class__ is ScalarEvent and (bad := FORBIDDEN.search(event.value)):
            message = f"the text holds the control character U+{ord(bad.group()):04X}"
            self.source.refuse(event, message, "take it out")

    def _refuse_repeat(self, event: ScalarEvent, first: ScalarEvent) -> None:
        message = f"the key `{event.value}` stands twice in this mapping"
        mark: Any = first.start_mark
        where = mark.line + 1
        self.source.refuse(event, message, f"the first is in line {where}: keep one of the two")


def _inside(node: Map | Items) -> tuple[Any, Any]:
    """Return the entries of a mapping or the items of a list, and None for the other."""
    return (node.entries, None) if isinstance(node, Map) else (None, node.items)
