"""What may name somebody is withheld, whatever kind of entry or event holds it."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest

from diag.jobs.entries import ENTRIES
from diag.jobs.people import (
    NAMELESS,
    NAMING,
    SAYING,
    entry_without_people,
    event_without_people,
)
from diag.session.journal.events import EVENTS

NOBODYS = {
    "opened": {"unit"}, "labelled": {"tag", "serial"}, "figured": {"text"},
    "part used": {"name", "price", "cause"}, "offered": {"what"}, "attached": {"sha256"},
    "ended": {"outcome"}, "struck": {"uid"},
}  # fmt: skip
"""Kind of entry to its texts that say nothing of people."""


@pytest.mark.parametrize("kind", ENTRIES)
def test_every_text_of_an_entry_is_withheld_or_nobodys(kind: str) -> None:
    """Whoever adds a text to an entry decides whether it may name somebody."""
    texts = {one.name for one in fields(ENTRIES[kind]) if str(one.type).startswith("str")}
    assert texts == NAMING[kind] | NOBODYS.get(kind, set())


def test_every_kind_of_event_is_decided() -> None:
    """Whoever adds a kind of event decides whether it may name somebody."""
    assert set() == EVENTS.keys() - NAMELESS - SAYING.keys()


@pytest.mark.parametrize("without", [entry_without_people, event_without_people])
def test_an_unknown_kind_says_nothing(without: Any) -> None:
    """Of a kind that this version does not know every text is withheld, and numbers stay."""
    held = {"a": "A. Body", "b": [{"c": "A. Body", "d": 3}]}
    less = {"a": "[withheld]", "b": [{"c": "[withheld]", "d": 3}]}
    assert less == without("later", held) == without("later", less)


def test_a_joint_act_is_looked_into() -> None:
    """A remark within a joint act is withheld, and what was read beside it stays."""
    acts = [{"kind": "noted", "text": "A. Body", "when": ""}, {"kind": "heeded", "danger": "fire"}]
    less = event_without_people("together", {"events": acts})
    assert {"events": [{**acts[0], "text": "[withheld]"}, acts[1]]} == less
