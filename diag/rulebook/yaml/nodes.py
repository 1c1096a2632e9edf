"""From text to nodes that know their place: YAML events, with all that misleads refused.

In a file without a fault hardly any place is asked for, and to keep them all costs more than to
parse. So they are kept on demand: see `SourceFile.placed`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any, NoReturn

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

from diag.model.problem import Place, Problem
from diag.rulebook.yaml.source import FORBIDDEN, SourceFile

LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)
"""Only its events are used: nothing is ever constructed from a tag."""
DEEPEST = 40
_STEERING = bytes(code for code in range(128) if FORBIDDEN.match(chr(code)))


class Scalar(str):
    """A text that knows its place and how it was quoted."""

    __slots__ = ("end_mark", "start_mark", "style")
    start_mark: Any
    end_mark: Any
    style: str


@dataclass(slots=True, eq=False, repr=False)
class Map:
    """A mapping; its keys are scalars as well."""

    start_mark: Any
    entries: dict[str, Node] = field(default_factory=dict)
    end_mark: Any = None

    def key(self, name: str) -> str:
        """Return a key as it was read."""
        return next(key for key in self.entries if key == name)


@dataclass(slots=True, eq=False, repr=False)
class Items:
    """A list."""

    start_mark: Any
    items: list[Node] = field(default_factory=list)
    end_mark: Any = None


Node = str | Map | Items
"""A text is a `Scalar` where places are kept.

They are always kept for mappings, for lists and the keys that these stand under, and for what
stands at the top of a file: those places belong to the rulebook.
"""


def _forbidden(text: str) -> re.Match[str] | None:
    # Plain ASCII is told by its bytes in a tenth of the time that the pattern takes.
    plain = text.isascii() and (data := text.encode()).translate(None, _STEERING) == data
    return None if plain else FORBIDDEN.search(text)


def read_nodes(source: SourceFile) -> Map | None:
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
    if top is None or top == "":
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

    def __init__(self, source: SourceFile) -> None:
        self.source = source
        self.stack: list[Map | Items] = []
        self.documents = 0

    def build(self, next_event: Any) -> Node | None:
        """Return the top node, None when there is none; raises `_Stopped`."""
        top: Node | None = None
        key: Any = None
        key_event: Any = None
        entries, items, placed = self._inside()
        while (event := next_event()) is not None:
            kind = event.__class__
            if kind is ScalarEvent:
                if event.style == '"' or event.tag is not None or event.anchor is not None:
                    self._mark_scalar(event)
                node = _scalar(event) if placed else event.value
                if entries is not None and key is None:
                    if node in entries:
                        self._refuse_repeat(event)
                    key, key_event = node, event
                    continue
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                node = self._open(event, entries is not None and key is None)
                if key is not None:
                    key = _scalar(key_event)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                self.stack.pop().end_mark = event.end_mark
                entries, items, placed = self._inside()
                continue
            else:
                self._other(event)
                continue
            if entries is not None:
                entries[key] = node
                key = None
            elif items is not None:
                items.append(node)
            else:
                top = node
            if kind is not ScalarEvent:
                entries, items, placed = self._inside()
        return top

    def _inside(self) -> tuple[Any, Any, bool]:
        """Return what is open, entries of a mapping or items of a list, and if texts are placed."""
        if not self.stack:
            return None, None, True
        node, placed = self.stack[-1], self.source.placed or len(self.stack) == 1
        return (node.entries, None, placed) if isinstance(node, Map) else (None, node.items, placed)

    def _open(self, event: Any, as_key: bool) -> Map | Items:
        if event.anchor is not None or event.tag is not None:
            self._mark_scalar(event)
        if as_key:
            self._stop(event, "a key must be a plain phrase", "write `key: value`")
        if len(self.stack) == DEEPEST:
            self._stop(event, f"more than {DEEPEST} levels deep", "write it flatter")
        made = Map if event.__class__ is MappingStartEvent else Items
        node: Map | Items = made(event.start_mark)
        self.stack.append(node)
        return node

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

    def _refuse_repeat(self, event: ScalarEvent) -> None:
        message = f"the key `{event.value}` stands twice in this mapping"
        holder = self.stack[-1]
        assert isinstance(holder, Map)
        where = self.source.place(holder.key(event.value)).line
        self.source.refuse(event, message, f"the first is in line {where}: keep one of the two")


def _scalar(event: Any) -> Scalar:
    scalar = Scalar(event.value)
    scalar.start_mark, scalar.end_mark = event.start_mark, event.end_mark
    scalar.style = event.style
    return scalar
