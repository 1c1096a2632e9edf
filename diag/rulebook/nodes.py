"""From text to nodes that know their place: YAML events, with all that misleads refused."""

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

from diag.model.place import Place, Problem
from diag.rulebook.source import FORBIDDEN, Source

LOADER: Any = getattr(yaml, "CLoader", yaml.Loader)
"""Only its events are used: nothing is ever constructed from a tag."""
DEEPEST = 40
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
