"""What the owner is told at the end: plain, and with what the work asks of them from now on."""

from __future__ import annotations

import re

import pytest

from diag.authoring.lints.plain_words import old_words
from diag.model.rulebook import Cause
from tests.dangers.shipped import book

SAYS = {
    "exhaust leak": "carbon monoxide alarm",
    "exchanger cracked": "carbon monoxide alarm",
    "burner gasket leaking": "carbon monoxide alarm",
    "exhaust blocked": "carbon monoxide alarm",
    "fuel line leaking": "do not start the heater",
    "air on the suction side": "do not start the heater",
    "oversized fuse": "Never fit a larger one",
    "blown fuse": "never fit a larger one",
    "burner flooded": "After two failed starts, stop",
    "lock-out": "If a start fails twice, stop",
    "wrong fuel": "never petrol",
    "control unit overheated": "wait for the fan to stop",
    "isolator off": "wait for the fan to stop",
    "cold battery cut off": "must not be charged below 0 C",
    "overheat sensor open circuit": "Never run the heater with this sensor bypassed",
    "thin cable": "straight from the battery",
    "shared feed": "straight from the battery",
    "waxed fuel": "winter fuel",
}
"""What safety asks of the owner after a repair, in the words of its sentence."""
CAUSES = sorted(book().causes.values(), key=lambda one: one.id)


@pytest.mark.parametrize("cause", CAUSES, ids=lambda one: one.id)
def test_it_is_plain(cause: Cause) -> None:
    """Short sentences in usual words, that end, and that name no likelihood."""
    said = cause.tell_owner
    assert said.endswith(".")
    assert len(said.split()) <= 45
    assert [] == list(old_words(said))
    assert not re.search(r"[%`]|probabl|likely", said)


@pytest.mark.parametrize("cause", [one for one in CAUSES if one.no_fault], ids=lambda one: one.id)
def test_a_sound_heater_is_never_said_to_be_repaired(cause: Cause) -> None:
    """Where use or weather explains it, the sentence names no repair of the heater."""
    assert not re.search(r"\b(repaired|refitted)\b", cause.tell_owner)


@pytest.mark.parametrize("cause", sorted(SAYS))
def test_what_safety_asks_is_said(cause: str) -> None:
    """After dangerous faults the owner hears what keeps them from coming back, or from harm."""
    assert SAYS[cause] in book().causes[cause].tell_owner
