"""What wore a session out: readings asked without end, lines and texts of great length."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable, Mapping
from contextlib import suppress

import pytest

from diag.model.quantity import Quantity
from diag.model.rulebook import Value
from diag.session.commands import Line, read_line
from diag.session.hearing import Ear
from diag.session.journal.events import Answered, Heeded, Repaired
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, Closing
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState
from tests.dangers.shipped import answered, answering, begin, book, sound

MOST_PROMPTS, MOST_ASKED = 120, 2
UNIT = "small 12 V"


def asked_of(state: SessionState, shows: Mapping[str, Value]) -> Counter[tuple[str, int]]:
    """Answer a session as a unit shows; return how often each finding was asked, by stage."""
    asked: Counter[tuple[str, int]] = Counter()
    for _ in range(MOST_PROMPTS):
        prompt = next_prompt(state)
        if isinstance(prompt, AskFinding):
            asked[prompt.finding.id, state.stage] += 1
        elif isinstance(prompt, AskTogether):
            asked.update((one.id, state.stage) for one in prompt.findings)
        event = answered(prompt, shows)
        if event is None:
            break
        state.apply(event)
    return asked


def any_readings(seed: int) -> dict[str, Value]:
    """Return a reading for every finding, drawn with no regard to the others."""
    chance = random.Random(seed)
    found: dict[str, Value] = {}
    for name, finding in book().findings.items():
        if finding.choices:
            found[name] = chance.choice(finding.states)
        elif finding.believable and finding.unit:
            low, high = (one.si for one in finding.believable)
            found[name] = Quantity(low + (high - low) * chance.random() ** 3, finding.unit)
    safe = {one: book().findings[one].states[0] for one in book().asked_first}
    return {**found, **safe}


@pytest.mark.parametrize("seed", range(3))
def test_readings_that_cannot_be_true_together_are_not_asked_without_end(seed: int) -> None:
    """However the readings contradict each other, none is asked a third time in a run."""
    asked = asked_of(begin(UNIT, "will not start"), any_readings(seed))
    assert {} == {key: often for key, often in asked.items() if often > MOST_ASKED}


@pytest.mark.parametrize(
    "shows",
    [
        {"exhaust joints": "leaking"},
        {"control unit inside": "wet"},
        {"exhaust pipe": "clear", "blow test": "blocked"},
    ],
    ids=["a joint that leaks", "a wet control unit", "a clear pipe that lets no air through"],
)
def test_a_danger_that_lasts_is_not_asked_about_without_end(shows: Mapping[str, Value]) -> None:
    """Read anew and found the same, it is not asked a third time in a run: work is handed over."""
    state = begin(UNIT, "smell")
    for name, value in shows.items():
        state.apply(Answered(name, value, "seen"))
    asked = asked_of(state, shows)
    assert {} == {key: often for key, often in asked.items() if often > MOST_ASKED}


def test_no_session_ends_proved_while_a_danger_holds() -> None:
    """What would release the danger is asked before the end, and else it is handed over."""
    state = begin(UNIT, "dark smoke")
    for event in (
        Answered("co alarm", "yes", "told"),
        Heeded("carbon monoxide"),
        Repaired("exhaust leak"),
    ):
        state.apply(event)
    *_, last = answering(state, {**sound(UNIT), "everybody safe outside": "yes"})
    assert isinstance(last, Closing)
    assert ("proved", ()) == (last.ending.kind, last.ending.holding)


def seconds(act: Callable[[], object]) -> float:
    """Return the processor time that something takes."""
    began = time.process_time()
    act()
    return time.process_time() - began


def listened(ear: Ear, text: str) -> None:
    """Hear a text; one that goes on and on is refused with a sentence."""
    with suppress(NotUnderstood):
        ear.hear(text)


@pytest.mark.parametrize("piece", ["co alarm, ", "nothing that has a name, ", "12 V; "])
def test_listening_takes_time_in_step_with_the_text(piece: str) -> None:
    """Four times the pieces take about four times as long: 20,000 of them take no minute."""
    ear = Ear(book())
    listened(ear, piece * 100)
    short = seconds(lambda: listened(ear, piece * 500))
    long = seconds(lambda: listened(ear, piece * 2000))
    assert long < 10 * max(short, 0.05)


@pytest.mark.parametrize("line", ["12 V{}told", "12 V{}x", "{}", "say{}tyre", "12 V ;{}seen"])
def test_blanks_in_a_line_take_no_time(line: str) -> None:
    """16,000 blanks within a line are read in a moment, by patterns linear in its length."""
    assert seconds(lambda: read_line(line.format(" " * 16_000))) < 0.5


@pytest.mark.parametrize("mark", [" ", ", ", "; ", " , ", "  "])
def test_how_it_is_known_may_stand_behind_any_mark(mark: str) -> None:
    """`told`, `seen` and `measured` end an answer, with or without a mark before them."""
    found = read_line(f"12 V{mark}told")
    assert isinstance(found, Line)
    assert ("12 V", "told") == (found.text.strip(), found.how)
