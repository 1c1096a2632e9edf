"""What is read beside a proof: what was bad before the repair, in the runs that it makes anyway."""

from __future__ import annotations

from diag.model.rulebook import Value
from diag.rulebook import parse_answer
from diag.session.journal.events import Answered, Heeded, Repaired
from diag.session.next_prompt import next_prompt
from diag.session.prompt import AskFinding, AskTogether, Closing, ProposeRepair, StopWork
from diag.session.proof.reading import BAD_BEFORE
from diag.session.state import SessionState
from tests.dangers.shipped import begin, book, sound

UNIT = "small 12 V"
LOW, RIGHT = "6 A", "9.4 A"
"""Amps while igniting, of 9.5 A."""


def read(state: SessionState, *more: tuple[str, str]) -> None:
    """Read a bad earth joint, less current than there should be, and more."""
    for name, text in (
        ("panel", "lit"), ("fan at start", "runs"), ("lights up", "yes"),
        ("amps while igniting", LOW), ("drop along the negative cable", "0.9 V"),
        ("earth joint", "poor"), *more,
    ):  # fmt: skip
        known = book().findings[name]
        state.apply(Answered(name, parse_answer(text, known), known.how))


def followed(
    amps: str, *more: tuple[str, str]
) -> tuple[SessionState, list[tuple[str, str]], object]:
    """Mend the earth joint, go through the proof with all as it should be but the amps; return
    the state, what was asked and why, and the prompt after it."""
    state, asked = begin(UNIT, "will not start"), list[tuple[str, str]]()
    read(state, *more)
    state.apply(Repaired("bad earth"))
    for _ in range(40):
        prompt = next_prompt(state)
        if isinstance(prompt, StopWork):
            state.apply(Heeded(prompt.danger.id))
            continue
        if isinstance(prompt, AskTogether) or not isinstance(prompt, AskFinding):
            return state, asked, prompt
        if state.proved:
            return state, asked, prompt
        asked.append((prompt.finding.id, prompt.reason))
        name = prompt.finding.id
        value: Value = parse_answer(amps, prompt.finding) if name == "amps while igniting" else (
            sound(UNIT)[name]
        )  # fmt: skip
        check = prompt.check.id if prompt.check else ""
        state.apply(Answered(name, value, prompt.finding.how, check=check))
    raise AssertionError("the proof comes to no end")


def test_what_was_bad_is_read_again_in_the_runs_of_the_proof() -> None:
    """The amps were low, and are read before the proof's own reading that ends the run."""
    _, asked, _ = followed(RIGHT)
    names = [name for name, _ in asked]
    assert ("amps while igniting", BAD_BEFORE) in asked
    assert names.index("amps while igniting") < names.index("lights up")


def test_a_session_ends_where_what_was_bad_is_good_now() -> None:
    """With the current as it should be nothing else is looked for."""
    state, _, prompt = followed(RIGHT)
    assert isinstance(prompt, Closing)
    assert ("proved", "bad earth") == (prompt.ending.kind, state.proved)


def test_a_session_goes_on_where_it_is_bad_still() -> None:
    """A current that stays low speaks for another fault, although the complaint is gone."""
    state, _, prompt = followed(LOW)
    assert "bad earth" == state.proved
    assert isinstance(prompt, AskFinding | ProposeRepair)


def test_what_stands_bad_unexplained_is_told_at_the_end() -> None:
    """A glow plug seen eroded, with only the earth joint repaired, is not passed over."""
    _, _, sound_end = followed(RIGHT)
    assert isinstance(sound_end, Closing)
    assert () == sound_end.ending.also_seen
    _, _, prompt = followed(RIGHT, ("glow plug looks", "eroded"))
    assert isinstance(prompt, Closing)
    assert ("glow plug looks",) == prompt.ending.also_seen
