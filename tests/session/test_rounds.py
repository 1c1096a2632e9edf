"""One run, all its readings: checks that share a run are one offer, at the price of one."""

from __future__ import annotations

from itertools import pairwise

import pytest

from diag.model.rulebook import Rulebook
from diag.reason.plan.costs import as_one, minutes_of
from diag.session.candidates import candidate_checks
from diag.session.journal.events import Answered, Passed
from diag.session.next_prompt import next_prompt
from diag.session.offer.words import begin
from diag.session.prompt import AskFinding, AskTogether
from diag.session.state import SessionState
from tests.dangers import shipped

UNIT = "small 12 V"
SAID = {"panel": "lit", "panel shows": "fault", "fan at start": "runs", "lights up": "no"}


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return shipped.book()


def _begun(book: Rulebook, complaint: str, profile: str = "workshop") -> SessionState:
    state = SessionState(book, book.units[UNIT], complaint, shipped.compiled(UNIT))
    state.apply(begin(book, profile))
    prompt = next_prompt(state)
    assert isinstance(prompt, AskTogether)
    for one in prompt.findings:
        state.apply(Answered(one.id, "no", "told", "", prompt.check.id))
    return state


def _one_round(state: SessionState) -> tuple[list[str], int]:
    """Play up to the end of the first round, readings passed over; return those, and openings."""
    asked, openings, run = list[str](), 0, ""
    for _ in range(60):
        prompt = next_prompt(state)
        if not isinstance(prompt, AskFinding) or prompt.check is None:
            break
        if run and prompt.check.run != run:
            break
        if len(prompt.members) > 1:
            openings += 1
            run = prompt.check.run
        if run:
            asked.append(prompt.finding.id)
        check = prompt.check.id if prompt.check.run else ""
        answer = SAID.get(prompt.finding.id)  # what is asked later hangs on these
        if answer:
            state.apply(Answered(prompt.finding.id, answer, "seen", "", prompt.check.id))
        else:
            state.apply(Passed(prompt.finding.id, "not sure", check))
    return asked, openings


@pytest.mark.parametrize("profile", ["workshop", "vehicle"])
def test_a_round_is_asked_in_the_order_in_which_it_comes(book: Rulebook, profile: str) -> None:
    """One opening, and then reading after reading in the order of the run, each once."""
    state = _begun(book, "will not start", profile)
    asked, openings = _one_round(state)
    order = book.runs["one start"].in_order
    places = [order.index(name) for name in asked]
    assert 1 == openings
    assert len(asked) >= 3
    assert [] == [pair for pair in pairwise(places) if pair[0] >= pair[1]]


def test_without_a_meter_the_round_is_had_without_its_readings(book: Rulebook) -> None:
    """With a multimeter alone one start gives volts, and asks for no amps."""
    asked, _ = _one_round(_begun(book, "will not start", "vehicle"))
    assert "volts at the terminals while igniting" in asked
    assert [] == [name for name in asked if name.startswith("amps")]


def test_a_run_is_paid_once(book: Rulebook) -> None:
    """A round takes what its checks take, less the run for each but the first; so does a row."""
    names = ["load test at the battery", "load test at the heater", "clamp one start"]
    checks = [book.checks[name] for name in names]
    run = book.runs["one start"].minutes
    apart = sum(minutes_of(book, [name]) for name in names)
    setup = apart - sum(one.minutes for one in checks)
    whole = as_one(book, checks)
    assert sum(one.minutes for one in checks) - 2 * run == whole.minutes
    once = minutes_of(book, names)
    assert once <= apart - 2 * run
    assert once >= apart - 2 * run - setup


def test_what_shares_a_run_is_one_offer(book: Rulebook) -> None:
    """Among what is offered no run stands twice with readings of likely causes."""
    state = _begun(book, "will not start")
    for name, answer in SAID.items():
        state.apply(Answered(name, answer, "seen"))
    offered = [one for one in candidate_checks(state) if one.check.run == "one start"]
    wide = max(offered, key=lambda one: len(one.findings))
    assert {"volts at the terminals while igniting", "amps while igniting"} <= set(wide.findings)
    assert [] == [one.check.id for one in offered if set(one.findings) < set(wide.findings)]
