"""What is looked at right after a danger was told: what explains it, and nothing idle before."""

from __future__ import annotations

import pytest

from diag.model.amounts import amount
from diag.session.journal.events import Answered
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, StopWork
from tests.dangers.shipped import answered, begin, book, sound

UNIT = "small 12 V"
EXPLAINED_BY = {
    "co alarm": "look into the exchanger",
    "felt ill": "look into the exchanger",
    "fuel leak": "look along the fuel line",
    "hot wiring": "look at the supply wiring",
    "fumes inside": "look at the pipes",
    "soot in the warm air": "look into the exchanger",
    "overheated after a power cut": "look for scorching",
    "battery swollen": "see about the damaged battery",
    "strange fuel": "ask about the use",
    "bang at light-up": "look for pooled fuel",
    "starts by itself": "look at the control unit",
}
SOON = 2
"""A word with the owner may come before; of the looks that are more than a word it is the first."""


@pytest.mark.parametrize("finding", sorted(book().asked_first))
def test_what_explains_a_danger_is_looked_at_first(finding: str) -> None:
    """After the stop the look that may explain it comes at once, but for words with the owner."""
    state = begin(UNIT, "will not start")
    shows = {**sound(UNIT), **dict.fromkeys(book().asked_first, "no"), finding: "yes"}
    checks: dict[str, None] = {}
    stopped = False
    for _ in range(20):
        prompt = next_prompt(state)
        stopped = stopped or isinstance(prompt, StopWork)
        if stopped and isinstance(prompt, AskFinding) and prompt.check:
            checks[prompt.check.id] = None
        event = answered(prompt, shows)
        assert event is not None
        state.apply(event)
    looks = [name for name in checks if book().checks[name].access != "ask"]
    assert EXPLAINED_BY[finding] in (*list(checks)[:SOON], *looks[:1])


def test_what_was_filled_is_asked_before_any_work() -> None:
    """Petrol, or fuel that nobody knows, is among the questions that come before all others."""
    assert "strange fuel" in book().asked_first


@pytest.mark.parametrize("place", ["in the cabin", "at the outlet", "at a joint"])
@pytest.mark.parametrize("complaint", sorted(book().complaints))
def test_carbon_monoxide_can_be_read_anywhere_at_any_time(complaint: str, place: str) -> None:
    """Whether it lights or not, a reading told unasked stops the work, and is not doubted."""
    state = begin(UNIT, complaint)
    finding = book().findings[f"carbon monoxide {place}"]
    assert finding.unit is not None
    state.apply(Answered(finding.id, amount("60 ppm", finding.unit), "measured"))
    prompt = next_prompt(state)
    assert isinstance(prompt, StopWork)
    assert "carbon monoxide" == prompt.danger.id
