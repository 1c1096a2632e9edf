"""The laws of a session, on random rulebooks and on another subject's, for every kind of event."""

from __future__ import annotations

import ast
import json
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.journal.events import (
    EVENTS,
    Event,
    LeftOut,
    Together,
    Undone,
    as_record,
    from_record,
)
from diag.session.journal.known import not_known
from diag.session.next_prompt import next_prompt
from diag.session.result import result
from diag.session.state import SessionState
from tests.session.drawn_events import DRAWN, events, journals
from tests.session.random_books import random_book

BOOKS = 8
PACKAGE = Path(__file__).parents[2] / "diag"
LAW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


@cache
def _compiled(book: Book) -> CompiledRulebook:
    return CompiledRulebook.of(book.rulebook, book.rulebook.units[book.unit])


class Book:
    """A rulebook with the unit and the complaint of its sessions."""

    def __init__(self, rulebook: Rulebook, unit: str, complaint: str) -> None:
        self.rulebook, self.unit, self.complaint = rulebook, unit, complaint

    def state(self, journal: Sequence[Event] = ()) -> SessionState:
        unit = self.rulebook.units[self.unit]
        return SessionState(self.rulebook, unit, self.complaint, _compiled(self)).replay(journal)


@pytest.fixture(scope="module")
def books(tmp_path_factory: pytest.TempPathFactory) -> list[Book]:
    folder = tmp_path_factory.mktemp("books")
    drawn = [Book(random_book(seed, folder), "the one", "stands still") for seed in range(BOOKS)]
    bicycle = load_rulebook([Path(__file__).parents[1] / "books" / "bicycle"], {})
    return [*drawn, Book(bicycle, "town bicycle", "goes flat")]


def stands(state: SessionState) -> str:
    """Return all that a session shows of itself, as text."""
    return json.dumps(result(state), sort_keys=True) + repr(next_prompt(state))


def without(journal: Sequence[Event], gone: int) -> list[Event]:
    """Return a journal without an entry, with what names entries by number put right."""
    return [_moved(event, gone) for n, event in enumerate(journal) if n != gone]


def _moved(event: Event, gone: int) -> Event:
    if isinstance(event, Together):
        return replace(event, events=tuple(_moved(one, gone) for one in event.events))
    if isinstance(event, Undone) and event.entry >= gone:
        return replace(event, entry=-1 if event.entry == gone else event.entry - 1)
    return event


def test_every_kind_of_event_is_tried() -> None:
    """A new kind of event joins the laws by standing in the registry."""
    assert set(EVENTS.values()) == set(DRAWN)


@LAW
@given(data=st.data())
def test_taking_back_is_never_having_done_it(books: list[Book], data: st.DataObject) -> None:
    """Law 1, retraction: what is undone leaves nothing behind, whatever kind of act it was."""
    book = data.draw(st.sampled_from(books))
    journal = data.draw(journals(book.rulebook, book.complaint, book.unit))
    if not journal:
        return
    gone = data.draw(st.integers(0, len(journal) - 1))
    undone = book.state(journal)
    undone.apply(Undone(gone))
    assert stands(book.state(without(journal, gone))) == stands(undone)


@LAW
@given(data=st.data())
def test_step_by_step_equals_all_at_once(books: list[Book], data: st.DataObject) -> None:
    """Law 3: a prompt is a function of the journal, however its entries came in."""
    book = data.draw(st.sampled_from(books))
    journal = data.draw(journals(book.rulebook, book.complaint, book.unit))
    stepped = book.state()
    for event in journal:
        stepped.apply(event)
        next_prompt(stepped)
    assert stands(book.state(journal)) == stands(stepped)


@LAW
@given(data=st.data())
def test_any_journal_replays_on_any_rulebook(books: list[Book], data: st.DataObject) -> None:
    """Law 2: what a rulebook does not know is left out with a sentence, and the rest counts."""
    book, other = data.draw(st.sampled_from(books)), data.draw(st.sampled_from(books))
    journal = data.draw(journals(book.rulebook, book.complaint, book.unit))
    state = other.state(journal)
    assert stands(state)
    for sentence in state.left_out:
        assert "\n" not in sentence
        assert sentence.endswith("left out")
    known = set(other.rulebook.findings)
    assert set(state.readings) <= known


@LAW
@given(data=st.data())
def test_what_is_stored_comes_back_the_same(books: list[Book], data: st.DataObject) -> None:
    """An event through JSON and back is the event."""
    book = data.draw(st.sampled_from(books))
    for event in data.draw(journals(book.rulebook, book.complaint, book.unit)):
        kind, payload = json.loads(json.dumps(as_record(event)))
        assert event == from_record(kind, payload)


@LAW
@given(st.text(max_size=8) | st.sampled_from(sorted(EVENTS)), st.data())
def test_a_damaged_entry_is_left_out_with_a_sentence(kind: str, data: st.DataObject) -> None:
    """Whatever stands in a stored entry, reading it raises nothing."""
    plain = st.none() | st.booleans() | st.integers() | st.text(max_size=5)
    keys = st.sampled_from(("finding", "value", "how", "entry", "events", "cause", "text", "x"))
    nested = st.recursive(plain, lambda inner: st.lists(inner, max_size=2), max_leaves=4)
    payload = data.draw(st.dictionaries(keys, nested, max_size=4))
    event = from_record(kind, payload)
    assert isinstance(event, tuple(EVENTS.values()))


def test_no_clock_and_no_chance_in_what_decides() -> None:
    """Law 3: nothing in logic, reasoning or session imports the time or random numbers."""
    found = [
        (path.name, name)
        for room in ("logic", "reason", "session", "model", "rulebook", "bench")
        for path in sorted((PACKAGE / room).rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in ([one.name for one in node.names] + [getattr(node, "module", None) or ""])
        if name in ("time", "random", "datetime", "secrets")
    ]
    assert found == []


@LAW
@given(st.data())
def test_what_names_a_thing_that_is_gone_is_left_out(
    books: list[Book], data: st.DataObject
) -> None:
    """An event of any kind whose finding, cause or danger the rules lost is left out, by name."""
    rulebook = data.draw(st.sampled_from(books)).rulebook
    event = data.draw(events(rulebook))
    assert not_known(event, rulebook) == ""
    for key in ("finding", "cause", "danger"):
        if hasattr(event, key):
            gone = replace(event, **{key: "long gone"})
            assert "`long gone`" in not_known(gone, rulebook)


@LAW
@given(st.data())
def test_a_stored_entry_of_other_types_is_left_out(books: list[Book], data: st.DataObject) -> None:
    """A text, a number or a truth of any kind of event that was stored as a list is left out."""
    event = data.draw(events(data.draw(st.sampled_from(books)).rulebook))
    kind, payload = as_record(event)
    for name in payload:
        assert isinstance(from_record(kind, {**payload, name: [3]}), LeftOut)
