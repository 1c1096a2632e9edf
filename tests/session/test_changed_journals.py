"""A stored session cut, edited by hand, or gone on with after ids of the rules were renamed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.commands import Line
from diag.session.compiled_rulebook import CompiledRulebook
from diag.session.controller import SessionController
from diag.session.journal.events import (
    Answered,
    Event,
    Heeded,
    Repaired,
    as_record,
    from_records,
)
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, Closing
from diag.session.state import SessionState
from tests.dangers.shipped import passed

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"
SHOWS = {
    "brake gone": ("yes", "no"),
    "brakes hold": ("yes",),
    "tyre": ("soft", "hard"),
    "bubbles at the valve": ("yes", "no"),
    "thorn": ("no",),
    "rides straight": ("yes",),
    "pressure in the evening": ("4 bar",),
    "pressure in the morning": ("1 bar", "4 bar"),
}
"""What each finding reads in turn; the last goes on."""
RENAMED = (
    "brake gone",
    "tyre",
    "no brakes",
    "thumb the tyre",
    "spit on the valve",
    "bubbles at the valve",
    "leaky valve",
    "soft",
)
"""Ids of the book of bicycles: findings, a danger, a check, causes and a state."""


def states(book: Rulebook) -> SessionState:
    unit = book.units["town bicycle"]
    return SessionState(book, unit, "goes flat", CompiledRulebook.of(book, unit))


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


@pytest.fixture(scope="module")
def journal(book: Rulebook) -> Sequence[Event]:
    """A session with a danger, a repair and its proof, as the prompts led through it."""
    events: list[Event] = []
    controller = SessionController(states(book), events.append, lambda: "")
    asked = Counter[str]()
    while not isinstance(prompt := controller.prompt, Closing):
        if isinstance(prompt, AskFinding):
            shows, name = SHOWS[prompt.finding.id], prompt.finding.id
            controller.answer(Line(shows[min(asked[name], len(shows) - 1)]))
            asked[name] += 1
        else:
            controller.answer(Line("done"))
    assert {Answered, Heeded, Repaired} == {type(one) for one in events}
    return events


def stored(journal: Sequence[Event]) -> list[tuple[int, str, Mapping[str, Any]]]:
    return [(at, *as_record(event)) for at, event in enumerate(journal, 1)]


def test_cut_anywhere_it_asks_what_it_asked_then(book: Rulebook, journal: Sequence[Event]) -> None:
    """Of a journal that ends at any event the prompt is that of the session at that moment."""
    live = states(book)
    for length in range(len(journal) + 1):
        kept = states(book).replay(from_records(stored(journal)[:length]))
        assert next_prompt(live) == next_prompt(kept)
        assert [] == kept.left_out
        if length < len(journal):
            live.apply(journal[length])


def test_a_deleted_entry_is_told_by_its_number(book: Rulebook, journal: Sequence[Event]) -> None:
    """An entry cut out of the middle is named, the rest counts, and the session goes on."""
    for gone in range(len(journal) - 1):
        records = stored(journal)
        del records[gone]
        kept = states(book).replay(from_records(records))
        assert [f"entry {gone + 1} is missing from the journal: it is left out"] == kept.left_out
        assert len(journal) == len(kept.journal)
        assert next_prompt(kept)


@pytest.mark.parametrize("text", ["", "nonsense", None, 7, [], {"si": "x"}, {"kind": "undone"}])
def test_an_edited_entry_is_told_and_the_rest_counts(
    book: Rulebook, journal: Sequence[Event], text: object
) -> None:
    """Whatever is put in place of a field, one sentence says so, or it is as good as before."""
    for at, (number, kind, payload) in enumerate(stored(journal)):
        for field in payload:
            records = stored(journal)
            records[at] = (number, kind, {**payload, field: text})
            kept = states(book).replay(from_records(records))
            assert next_prompt(kept)
            assert len(kept.left_out) <= 1 + 2 * (kind == "together")
            assert all(one.endswith("left out") for one in kept.left_out)


@pytest.mark.parametrize("name", RENAMED)
def test_a_renamed_id_leaves_out_what_rests_on_it(
    name: str, journal: Sequence[Event], tmp_path: Path
) -> None:
    """Rename a finding, check, state, cause or danger of an open session, and it goes on."""
    seen = 0
    for file in BICYCLE.glob("*.yaml"):
        text = file.read_text(encoding="utf-8")
        seen += len(re.findall(rf"\b{name}\b", text))
        new = re.sub(rf"\b{name}\b", f"new {name}", text)
        called = re.sub(rf"\b{name}\b", f"new {name}", file.stem.replace("-", " "))
        (tmp_path / f"{called.replace(' ', '-')}.yaml").write_text(new, encoding="utf-8")
    assert seen
    kept = states(load_rulebook([tmp_path], {})).replay(from_records(stored(journal)))
    assert f"new {name}" not in kept.readings
    while (event := passed(next_prompt(kept), "not sure", repairs=False)) is not None:
        kept.apply(event)
    for sentence in kept.left_out:
        assert ("tyre" if name == "soft" else name) in sentence
        assert sentence.endswith("left out")
