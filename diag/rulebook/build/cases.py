"""Cases and readings files: answers written down beforehand, checked against a rulebook."""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable

from diag.model.amounts import excerpt
from diag.model.case import Case
from diag.model.rulebook import Finding, Rulebook, UnitData, Value
from diag.rulebook.answer import parse_answer, with_error
from diag.rulebook.build.entries import Entry, raw
from diag.rulebook.build.gather import Gathered
from diag.rulebook.build.lookup import draft_wanted
from diag.rulebook.yaml.nodes import Map, Node
from diag.rulebook.yaml.scalars import nearest
from diag.rulebook.yaml.source import SourceFile


def cases(gathered: Gathered, rulebook: Rulebook) -> tuple[Case, ...]:
    """Build all cases gathered, in order of id; problems are added to those gathered."""
    entries = sorted(gathered.of("cases").items())
    return tuple(_case(entry, rulebook) for _, entry in entries if entry.sound)


def _case(entry: Entry, book: Rulebook) -> Case:
    values = entry.values
    _known(entry, "unit", "unit", (values["unit"],), book.units)
    _known(entry, "complaint", "complaint", (values["complaint"],), book.complaints)
    _known(entry, "truth", "cause", values["truth"], book.causes, drafts=book.drafts)
    for key, word, known in (
        ("dangers", "danger", book.dangers),
        ("wrong", "finding", book.findings),
        ("told", "finding", book.findings),
    ):
        _known(entry, key, word, values.get(key, ()), known)
    node = entry.at("shows")
    assert isinstance(node, Map)
    readings = answers(entry.source, node, book, book.units.get(values["unit"]))
    for key in ("wrong", "told"):
        for number, name in enumerate(values.get(key, ())):
            if name in book.findings and name not in values["shows"]:
                message = f"this case does not show `{excerpt(name)}`"
                entry.source.refuse(entry.item_at(key, number), message, "add it under `shows`")
    _known(entry, "path", "check", values.get("path", ()), book.checks)
    return Case(
        id=entry.id,
        unit=values["unit"],
        complaint=values["complaint"],
        truth=values["truth"],
        readings=readings,
        dangers=values.get("dangers", ()),
        wrong=values.get("wrong", ()),
        volunteered=values.get("told", ()),
        after=_after(entry, book),
        path=values.get("path", ()),
        note=values.get("note", ""),
        place=entry.place,
    )


def _after(entry: Entry, book: Rulebook) -> dict[str, dict[str, Value]]:
    """Return what reads otherwise after each repair, and once each danger was heeded."""
    found = {}
    for cause in entry.values.get("after", {}):
        key = entry.key_at("after", cause)
        if cause not in (*book.causes, *book.dangers):
            message = f"there is no cause and no danger `{excerpt(cause)}`"
            entry.source.refuse(key, message, nearest(cause, (*book.causes, *book.dangers)))
            continue
        if cause not in (*entry.values["truth"], *entry.values.get("dangers", ())):
            message = f"`{excerpt(cause)}` is no repair and no danger of this case"
            entry.source.refuse(key, message, "name one of its `truth` or its `dangers`")
            continue
        node = entry.at("after", cause)
        assert isinstance(node, Map)
        unit = book.units.get(entry.values["unit"])
        found[cause] = answers(entry.source, node, book, unit)
    return found


def _known(
    entry: Entry,
    key: str,
    word: str,
    names: Iterable[str],
    known: Iterable[str],
    *,
    drafts: Container[str] = (),
) -> None:
    known = tuple(known)
    for number, name in enumerate(names):
        if name in drafts:
            entry.source.refuse(entry.item_at(key, number), *draft_wanted(name))
        elif name not in known:
            message = f"there is no {word} `{excerpt(name)}`"
            entry.source.refuse(entry.item_at(key, number), message, nearest(name, known))


def answers(
    source: SourceFile, node: Map, rulebook: Rulebook, unit_data: UnitData | None
) -> dict[str, Value]:
    """Read a mapping of finding to answer, each answer as it would be typed."""
    read: dict[str, Value] = {}
    for name, item in node.entries.items():
        finding = rulebook.findings.get(name)
        if finding is None:
            message = f"there is no finding `{excerpt(name)}`"
            source.refuse(name, message, nearest(name, rulebook.findings))
            continue
        value = _answer(source, item, finding, unit_data.codes if unit_data else ())
        if value is not None:
            read[str(name)] = with_error(value, name, unit_data)
    return read


def _answer(
    source: SourceFile, node: Node, finding: Finding, codes: Collection[str]
) -> Value | None:
    text = raw(source, node)
    if text is None:
        return None
    try:
        return parse_answer(text, finding, codes)
    except ValueError as error:
        message, _, advice = str(error).partition("; ")
        source.refuse(node, message, advice)
        return None
