"""Entries read by table: each kind names its keys, which it needs, and who reads each value."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from diag.model.amounts import NotAnAmount, excerpt
from diag.model.origin import Origin
from diag.model.problem import Place
from diag.model.work import TALLEST_DRAWING, WIDEST_DRAWING
from diag.rulebook.language import clauses, grammar
from diag.rulebook.language.phrases import GROUP
from diag.rulebook.language.tokens import why_no_id
from diag.rulebook.yaml import scalars
from diag.rulebook.yaml.nodes import Items, Map, Node
from diag.rulebook.yaml.source import SourceFile

Reader = Callable[["SourceFile", Node], Any]
"""Turns a node into a value, or notes a problem and returns None."""


@dataclass(slots=True, eq=False, repr=False)
class Field:
    """One key of a kind of entry."""

    read: Reader
    required: bool = False


Table = Mapping[str, Field]


@dataclass(slots=True, eq=False, repr=False)
class Entry:
    """One entry as read, its names not yet looked up."""

    id: str
    source: SourceFile
    key: Node
    node: Map
    values: dict[str, Any]
    sound: bool = True
    """False when something in it could not be read, so that it is not looked at further."""

    @property
    def place(self) -> Place:
        """Return where the entry's id stands."""
        return self.source.place(self.key)

    @property
    def origin(self) -> Origin | None:
        """Return where its numbers come from: its own word, else its file's."""
        own: Origin | None = self.values.get("source")
        return own or self.source.origin

    def at(self, *keys: str) -> Node:
        """Return the node under a path of keys, as far as there is one."""
        node: Node = self.node
        for key in keys:
            if not isinstance(node, Map) or key not in node.entries:
                return node
            node = node.entries[key]
        return node

    def key_at(self, *keys: str) -> Node:
        """Return the node of the last key of a path."""
        holder = self.at(*keys[:-1])
        if isinstance(holder, Map) and keys[-1] in holder.entries:
            return holder.key(keys[-1])
        return holder

    def item_at(self, key: str, number: int) -> Node:
        """Return an item of the list under a key; the whole where one scalar stands for it."""
        node = self.at(key)
        return node.items[number] if isinstance(node, Items) else node


def read_fields(source: SourceFile, node: Node, what: str, table: Table) -> dict[str, Any] | None:
    """Read a mapping by its table; None when it is no mapping at all."""
    if not isinstance(node, Map):
        source.refuse(node, f"a {what} needs its keys here", "write `key: value` lines")
        return None
    values: dict[str, Any] = {}
    for key, value in node.entries.items():
        field = table.get(key)
        if field is None:
            message = f"`{excerpt(key)}` is not a key of a {what}"
            source.refuse(key, message, scalars.nearest(key, table))
        else:
            read = field.read(source, value)
            if read is not None:
                values[key] = read
    for key, field in table.items():
        if field.required and key not in node.entries:
            source.refuse_at(
                source.place(node), f"this {what} has no `{key}`", f"add a line `{key}: ...`"
            )
    return values


IN_CONDITIONS = ("findings", "signs", "figures", "thresholds", "unit data")
FREE = ("units", "cases")
"""Units and cases are named as people label them, capitals and all."""


def read_id(source: SourceFile, name: str, kind: str) -> bool:
    """Tell whether a key can be the id of a kind, and note why not."""
    if kind == "word groups":
        fits = GROUP.fullmatch(name) is not None
        why = "" if fits else "a word group is named in capitals, with hyphens between its words"
    elif kind in FREE:
        fits = 0 < len(name) <= 80 and name.isprintable()
        why = "" if fits else "an id is one line of at most 80 characters"
    else:
        why = why_no_id(name, kind in IN_CONDITIONS)
    if why:
        source.refuse(name, f"`{excerpt(name)}` cannot be an id", why)
    return not why


def raw(source: SourceFile, node: Node) -> str | None:
    """Read the text of a scalar, which may be neither empty nor a placeholder, `<...>`."""
    if not isinstance(node, str):
        kind = "mapping" if isinstance(node, Map) else "list"
        source.refuse_at(source.place(node), f"one text is expected here, not a {kind}")
        return None
    text = node.strip()
    if not text:
        source.refuse(node, "there is nothing after this key", "fill it in or take the key out")
        return None
    if text[0] == "<" and text[-1] == ">":
        message = f"`{excerpt(text)}` is a placeholder, still to be filled in"
        source.refuse(node, message, "write what belongs here, or take the line out")
        return None
    return text


def drawn(source: SourceFile, node: Node) -> tuple[str, ...] | None:
    """Read the lines of a drawing in characters: plain ASCII, of a size that fits any terminal."""
    if raw(source, node) is None:
        return None
    lines = tuple(line.rstrip() for line in str(node).strip("\n").split("\n"))
    too_wide = [number for number, line in enumerate(lines, 1) if len(line) > WIDEST_DRAWING]
    if too_wide:
        message = f"line {too_wide[0]} of this drawing has more than {WIDEST_DRAWING} characters"
        source.refuse_at(source.place(node), message, "draw it narrower, for small terminals")
    if len(lines) > TALLEST_DRAWING:
        message = f"this drawing has {len(lines)} lines, and {TALLEST_DRAWING} fit"
        source.refuse_at(source.place(node), message, "leave out what the words say")
    if not all(line.isascii() and line.isprintable() for line in lines):
        message = "a drawing is made of plain ASCII characters"
        source.refuse_at(source.place(node), message, "use letters and - | / + o and the like")
    return lines


def scalar(convert: Callable[[str], Any]) -> Reader:
    """Make a reader of one scalar from a function that raises `ValueError`."""

    def read(source: SourceFile, node: Node) -> Any:
        text = raw(source, node)
        if text is None:
            return None
        try:
            return convert(text)
        except NotAnAmount as error:
            source.refuse(node, error.message, error.advice)
            return None
        except ValueError as error:
            message, _, advice = str(error).partition("; did you")
            source.refuse(node, message, f"did you{advice}" if advice else "")
            return None

    return read


def one_cause(source: SourceFile, node: Node) -> str | None:
    """Read the one cause that a state is."""
    if isinstance(node, Items):
        message = f"{len(node.items)} causes claim this state, and a state is one fault"
        source.refuse_at(source.place(node), message, "keep one, or split the state")
        return None
    return raw(source, node)


def texts(source: SourceFile, node: Node) -> tuple[str, ...] | None:
    """Read a list of texts; a single text is a list of one."""
    if isinstance(node, Items):
        read = [raw(source, item) for item in node.items]
        return tuple(text for text in read if text is not None)
    text = raw(source, node)
    return None if text is None else (text,)


def word_of(*words: str) -> Reader:
    """Make a reader of one of a few words."""

    def convert(text: str) -> str:
        if text not in words:
            known = ", ".join(f"`{word}`" for word in words)
            raise ValueError(f"`{excerpt(text)}` is none of {known}")
        return text

    return scalar(convert)


def mapping(value: Reader) -> Reader:
    """Make a reader of a mapping whose values are all read alike."""

    def read(source: SourceFile, node: Node) -> dict[str, Any] | None:
        if not isinstance(node, Map):
            source.refuse_at(source.place(node), "`key: value` pairs are expected here")
            return None
        found = {}
        for key, item in node.entries.items():
            read_value = value(source, item)
            if read_value is not None:
                found[str(key)] = read_value
        return found

    return read


def listing(value: Reader) -> Reader:
    """Make a reader of a list whose items are all read alike; a single item is a list of one."""

    def read(source: SourceFile, node: Node) -> tuple[Any, ...]:
        nodes = node.items if isinstance(node, Items) else [node]
        # A refused item stays as None, so that what is left keeps its place in the list.
        return tuple(value(source, item) for item in nodes)

    return read


def record(what: str, table: Table) -> Reader:
    """Make a reader of a mapping with a table of its own; the value is an `Entry` without id."""

    def read(source: SourceFile, node: Node) -> Entry | None:
        values = read_fields(source, node, what, table)
        return None if values is None else Entry("", source, node, node, values)  # type: ignore[arg-type]

    return read


def expression(parse: Callable[[str], Any]) -> Reader:
    """Make a reader of an expression from a function that raises `Mistake`."""

    def read(source: SourceFile, node: Node) -> Any:
        if raw(source, node) is None:
            return None
        assert isinstance(node, str)
        try:
            return parse(node)
        except grammar.Mistake as error:
            source.refuse_within(node, error.at, error.width, error.message, error.advice)
            return None

    return read


condition = expression(clauses.condition)
term = expression(grammar.term)
number = scalar(scalars.number)
yes_or_no = scalar(scalars.yes_or_no)
span = scalar(scalars.span)
unit = scalar(scalars.unit_of)
origin_of = scalar(scalars.origin)
SOURCE = Field(origin_of)


def required(read: Reader) -> Field:
    """Make a field that must be there."""
    return Field(read, True)
