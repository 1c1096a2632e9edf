"""A unit that nothing seems wrong with, and whose complaint goes on: the session looks on."""

from __future__ import annotations

import pytest

from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, Closing, ProposeRepair, RunAgain
from tests.dangers.shipped import answered, begin, sound

UNIT = "small 12 V"

QUIET = {
    "soot in the warm air": "no",
    "fumes inside": "no",
    "where the fumes are": "nowhere",
    "where fuel comes out": "nowhere",
}
CRACKED = {**QUIET, "exchanger": "cracked", "smell while running": "some"}
"""A crack under a clean flame: the little carbon monoxide of it drowns in the warm air."""
MOST = 150


def asked_by(shows: dict[str, object], complaint: str) -> tuple[list[str], object]:
    """Answer a session to its first repair, or its end; return what it asked, and that."""
    state, asked = begin(UNIT, complaint), list[str]()
    for _ in range(MOST):
        prompt = next_prompt(state)
        if isinstance(prompt, AskFinding):
            asked.append(prompt.finding.id)
        if isinstance(prompt, ProposeRepair | RunAgain | Closing):
            return asked, prompt
        event = answered(prompt, shows)  # type: ignore[arg-type]
        assert event is not None
        state.apply(event)
    raise AssertionError("neither a repair nor an end")


def test_clean_air_acquits_no_exchanger_while_it_smells() -> None:
    """Sound readings and a clean meter, and still a smell: the exchanger is looked at."""
    asked, end = asked_by({**sound(UNIT), **CRACKED}, "smell")
    assert "exchanger" in asked
    assert isinstance(end, ProposeRepair)
    assert "exchanger cracked" == end.cause.id


@pytest.mark.parametrize(
    ("complaint", "fails"),
    [
        ("lights then dies", {"full heat held": "falls back"}),
        ("cycles", {"full heat held": "falls back"}),
        ("shows a fault", {"three starts": "again"}),
    ],
)
def test_a_failed_proof_of_soundness_is_no_end_while_a_look_is_left(
    complaint: str, fails: dict[str, object]
) -> None:
    """What was read sound cannot be all: the failing reading is read again, and others follow."""
    asked, end = asked_by({**sound(UNIT), **fails}, complaint)
    (name,) = fails
    assert 2 == asked.count(name)
    assert isinstance(end, Closing)
    assert "not found out" == end.ending.kind
    assert asked[-1] != name


def test_a_sound_unit_still_ends_in_nothing_wrong() -> None:
    """Where the proof of soundness holds, nothing is looked for beyond it."""
    shows = {**sound(UNIT), **QUIET, "smell while running": "none", "lights up": "yes"}
    _, end = asked_by(shows, "smell")
    assert isinstance(end, Closing)
    assert "nothing wrong" == end.ending.kind
