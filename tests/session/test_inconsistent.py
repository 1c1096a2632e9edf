"""Readings that cannot be, that hardly are, and rules that contradict each other."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.cli.account.where import show_rule_fault
from diag.cli.terminal.screen import Screen
from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.commands import Line
from diag.session.controller import SessionController
from diag.session.evidence import reliability_of
from diag.session.inconsistent import inconsistency_in, rule_faults
from diag.session.journal.events import Event, as_record, from_record
from diag.session.prompt import AskFinding
from diag.session.result import result
from diag.session.state import SessionState

BICYCLE = Path(__file__).parent.parent / "books" / "bicycle"
EVENING, MORNING = "pressure in the evening", "pressure in the morning"

TWO_MINDS = """\
source: invented
signs:
  rim:
    states: [clear, near]
    shows anyway: {near: seldom}
    rules:
      - {when: "tyre is one of hard, soft", then: clear, why: air holds it up}
      - {when: "tyre is one of soft, flat", then: near, why: little air is left}
"""
NEVER_A_THORN = """\
cause: glass in the tyre
title: Glass
area: tread
status: trial
source: invented
share: rare
complaints: {goes flat: probable}
signs:
  hiss:
    states: [still, loud]
    rules: [{when: tyre is flat, then: loud}, {when: tyre is hard, then: still}]
shows: {hiss: {loud: probable}}
rules out when:
  - {when: tyre is flat, why: glass lets air out slowly}
repair: {do: [Pull it out.], minutes: 1}
proof: [tyre is hard]
"""


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def sit(book: Rulebook) -> tuple[SessionController, list[Event]]:
    journal: list[Event] = []
    state = SessionState(book, book.units["town bicycle"], "goes flat")
    return SessionController(state, journal.append, lambda: "2026-01-01T10:00:00"), journal


def gaining(book: Rulebook) -> tuple[SessionController, list[Event]]:
    """Return a session in which the tyre seems to gain air."""
    controller, journal = sit(book)
    for line in ("no", "soft"):
        controller.answer(Line(line))
    controller.change(f"{EVENING} = 2 bar")
    controller.change(f"{MORNING} = 4 bar")
    return controller, journal


def asked_again(controller: SessionController) -> str:
    prompt = controller.prompt
    return prompt.again.finding if isinstance(prompt, AskFinding) and prompt.again else ""


def test_what_cannot_be_is_taken_again_before_anything_else(book: Rulebook) -> None:
    """Both readings are named with the sentence of the rule, and the first is asked again."""
    controller, _ = gaining(book)
    found = inconsistency_in(controller.state)
    assert found is not None
    assert found.say == "no tube gains air overnight"
    assert found.readings == (EVENING, MORNING)
    assert asked_again(controller) == EVENING


def test_a_reading_taken_again_alike_is_not_asked_a_third_time(book: Rulebook) -> None:
    """Confirmed readings count in full, and the session goes on."""
    controller, _ = gaining(book)
    controller.answer(Line("2 bar"))
    assert asked_again(controller) == MORNING
    controller.answer(Line("4 bar"))
    assert asked_again(controller) == ""
    reading = controller.state.readings[MORNING]
    assert reliability_of(controller.state, reading) == pytest.approx(1 - 0.03**2)


def test_a_better_reading_settles_it(book: Rulebook) -> None:
    """The new value replaces the old, and nothing is in doubt any more."""
    controller, _ = gaining(book)
    controller.answer(Line("4.2 bar"))
    assert inconsistency_in(controller.state) is None
    controller.change(f"{EVENING} = 2 bar")
    assert asked_again(controller) == EVENING


def test_what_cannot_be_taken_again_is_left(book: Rulebook) -> None:
    """A reading passed over stays as it was, and the other is asked."""
    controller, _ = gaining(book)
    controller.pass_over("not sure")
    assert asked_again(controller) == MORNING
    controller.pass_over("cannot be done now")
    assert asked_again(controller) == ""
    assert EVENING in controller.state.readings


def test_a_session_with_readings_taken_again_resumes_the_same(book: Rulebook) -> None:
    """The journal, through JSON and back, keeps what was confirmed."""
    controller, journal = gaining(book)
    controller.answer(Line("2 bar"))
    stored = [json.loads(json.dumps(as_record(event))) for event in journal]
    events = [from_record(kind, payload) for kind, payload in stored]
    again = SessionState(book, book.units["town bicycle"], "goes flat").replay(events)
    assert again.confirmed == {EVENING}
    assert result(controller.state) == result(again)


@given(evening=st.integers(0, 12), morning=st.integers(0, 12), first=st.booleans())
def test_order_and_retraction_of_readings_never_matter(
    evening: int, morning: int, first: bool
) -> None:
    """Readings in any order give one result; those taken back might never have been said."""
    book = load_rulebook([BICYCLE], {})
    lines = [f"{EVENING} = {evening} bar", f"{MORNING} = {morning} bar", "tyre = soft"]
    states = []
    for order in (lines, lines[::-1]):
        controller, _ = sit(book)
        for line in order if first else order[1:] + order[:1]:
            _say(controller, line)
        states.append(result(controller.state))
    assert states[0] == states[1]
    controller, _ = sit(book)
    for line in (lines[2], *lines[:2]):
        _say(controller, line)
    controller.undo()
    controller.undo()
    plain, _ = sit(book)
    _say(plain, lines[2])
    assert result(plain.state) == result(controller.state)


def _say(controller: SessionController, line: str) -> None:
    try:
        controller.change(line)
    except ValueError:  # a slip, asked back once
        controller.change(line)


def test_rules_that_contradict_each_other_are_told_with_their_places(
    book: Rulebook, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two states of a sign from one reading is the rulebook's fault; neither counts."""
    (tmp_path / "wheel").mkdir()
    (tmp_path / "wheel" / "rim.yaml").write_text(TWO_MINDS, encoding="utf-8")
    torn = load_rulebook([BICYCLE, tmp_path], {})
    controller, _ = sit(torn)
    controller.change("tyre = soft")
    (fault,) = rule_faults(controller.state)
    assert [rule.id for rule in fault.rules] == ["rim: rule 1", "rim: rule 2"]
    assert inconsistency_in(controller.state) is None
    plain, _ = sit(book)
    plain.change("tyre = soft")
    assert plain.state.posterior.causes == controller.state.posterior.causes
    show_rule_fault(Screen(plain=True), fault)
    shown = " ".join(capsys.readouterr().out.split())
    assert "`rim: rule 1` says rim is clear" in shown
    assert "rim.yaml:7:9" in shown
    assert "rim.yaml:8:9" in shown
    controller.change("tyre = flat")
    assert rule_faults(controller.state) == ()


def test_a_rule_that_rules_out_all_that_shows_a_sign_is_told(tmp_path: Path) -> None:
    """A sign that only a cause ruled out can show clashes with the rule, and neither counts."""
    (tmp_path / "tread").mkdir()
    (tmp_path / "tread" / "glass-in-the-tyre.yaml").write_text(NEVER_A_THORN, encoding="utf-8")
    controller, _ = sit(load_rulebook([BICYCLE, tmp_path], {}))
    controller.change("tyre = flat")
    (fault,) = rule_faults(controller.state)
    assert [r.id for r in fault.rules] == ["hiss: rule 1", "glass in the tyre: ruled out 1"]
    assert controller.state.posterior.causes["glass in the tyre"] > 0
