"""From text to nodes that know their place: YAML events, with all that misleads refused.

In a file without a fault hardly any place is asked for, and to keep them all costs more than to
parse. So they are kept on demand: see `SourceFile.placed`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
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
_OPENING = (MappingStartEvent, SequenceStartEvent)
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
        top = _Builder(source, LOADER(text).get_event).build()
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
    """Reads a node and all within it, as the events come.

    A scalar costs as little as it can: there are a hundred of them to each mapping at the top.
    """

    def __init__(self, source: SourceFile, next_event: Callable[[], Any]) -> None:
        self.source = source
        self.next_event = next_event
        self.documents = 0
        self.careful = any(sign in source.text for sign in ('"', "&", "!"))
        """Whether a scalar may have an anchor, a tag, or a control character behind an escape."""

    def build(self) -> Node | None:
        """Return the top node, None when there is none; raises `_Stopped`."""
        top: Node | None = None
        while (event := self.next_event()) is not None:
            if event.__class__ is ScalarEvent:
                self._look_at(event)
                top = _scalar(event)
            elif event.__class__ in _OPENING:
                top = self._opened(event, 0)
            else:
                self._other(event)
        return top

    def _opened(self, event: Any, depth: int) -> Map | Items:
        """Read a mapping or a list to its end, so many others being open around it."""
        kind = event.__class__
        if kind not in _OPENING or event.anchor is not None or event.tag is not None:
            self._other(event)
            self._look_at(event)
        if depth == DEEPEST:
            self._stop(event, f"more than {DEEPEST} levels deep", "write it flatter")
        placed = self.source.placed or depth == 0
        if kind is MappingStartEvent:
            entries: dict[str, Node] = {}
            end = self._fill(entries, depth + 1, placed)
            return Map(event.start_mark, entries, end)
        items: list[Node] = []
        end = self._extend(items, depth + 1, placed)
        return Items(event.start_mark, items, end)

    def _fill(self, entries: dict[str, Node], depth: int, placed: bool) -> Any:
        """Add what an open mapping holds; return where it ends."""
        next_event, careful = self.next_event, self.careful
        while (event := next_event()).__class__ is not MappingEndEvent:
            if event.__class__ is not ScalarEvent:
                self._refuse_key(event)
            if careful:
                self._look_at(event)
            key = _scalar(event) if placed else event.value
            if key in entries:
                self._refuse_repeat(event, entries)
            value = next_event()
            if value.__class__ is not ScalarEvent:
                entries[_scalar(event)] = self._opened(value, depth)
                continue
            if careful:
                self._look_at(value)
            entries[key] = _scalar(value) if placed else value.value
        return event.end_mark

    def _extend(self, items: list[Node], depth: int, placed: bool) -> Any:
        """Add what an open list holds; return where it ends."""
        next_event, careful = self.next_event, self.careful
        while (event := next_event()).__class__ is not SequenceEndEvent:
            if event.__class__ is not ScalarEvent:
                items.append(self._opened(event, depth))
                continue
            if careful:
                self._look_at(event)
            items.append(_scalar(event) if placed else event.value)
        return event.end_mark

    def _refuse_key(self, event: Any) -> NoReturn:
        self._other(event)
        self._look_at(event)
        self._stop(event, "a key must be a plain phrase", "write `key: value`")

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

    def _look_at(self, event: Any) -> None:
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

    def _refuse_repeat(self, event: ScalarEvent, entries: Mapping[str, Node]) -> None:
        message = f"the key `{event.value}` stands twice in this mapping"
        where = self.source.place(next(key for key in entries if key == event.value)).line
        self.source.refuse(event, message, f"the first is in line {where}: keep one of the two")


def _scalar(event: Any) -> Scalar:
    scalar = Scalar(event.value)
    scalar.start_mark, scalar.end_mark = event.start_mark, event.end_mark
    scalar.style = event.style
    return scalar
