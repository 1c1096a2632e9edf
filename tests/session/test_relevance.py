"""What is asked makes sense and tells of something: nothing comes before what decides that."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.logic.rests_on import findings_under
from diag.model.rulebook import Finding, Rulebook
from diag.session.candidates import candidate_checks
from diag.session.dependencies import findings_of, worth_asking
from diag.session.journal.events import Answered, Event, Heeded, Passed, Repaired
from diag.session.next_prompt import next_prompt
from diag.session.offer.looks import first_looks
from diag.session.prompt import AskFinding, AskTogether, Closing, ProposeRepair, RunAgain, StopWork
from diag.session.proof.reading import proof_readings
from diag.session.state import SessionState
from tests.dangers import shipped

UNIT = "small 12 V"
MOST = 30


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return shipped.book()


def _state(book: Rulebook, complaint: str) -> SessionState:
    return SessionState(book, book.units[UNIT], complaint, shipped.compiled(UNIT))


def _answer(rng: random.Random, finding: Finding, check: str, again: bool) -> Event:
    if not finding.choices or rng.random() < 0.15:
        return Passed(finding.id, "cannot", check)
    states = tuple(finding.choices)
    value = rng.choice([states[0], states[0], *states])
    return Answered(finding.id, value, finding.how, "", check, again)


def _played(state: SessionState, rng: random.Random) -> Iterator[AskFinding]:
    """Play with answers drawn, and yield each question before it is answered."""
    for _ in range(MOST):
        prompt = next_prompt(state)
        if isinstance(prompt, StopWork):
            state.apply(Heeded(prompt.danger.id))
        elif isinstance(prompt, AskTogether):
            for one in prompt.findings:
                state.apply(Answered(one.id, "no", "told", "", prompt.check.id))
        elif isinstance(prompt, ProposeRepair | RunAgain):
            state.apply(Repaired(prompt.cause.id))
        elif isinstance(prompt, Closing):
            return
        else:
            yield prompt
            check = prompt.check.id if prompt.check else ""
            again = prompt.fails or prompt.again is not None
            state.apply(_answer(rng, prompt.finding, check, again))


@given(st.integers(0, 10**6), st.data())
@settings(deadline=None, max_examples=15)
def test_nothing_is_asked_before_what_decides_whether_it_makes_sense(
    book: Rulebook, seed: int, data: st.DataObject
) -> None:
    """Whatever was answered, what is asked makes sense; in a proof, its sense is at least open."""
    state = _state(book, data.draw(st.sampled_from(sorted(book.complaints))))
    for prompt in _played(state, random.Random(seed)):
        when = prompt.finding.asked_when
        if when is None or prompt.again is not None or prompt.fails:
            continue
        if prompt.proves is None:
            assert state.chain.truth(when) is True
        elif not state.dangers.held:
            assert state.now.truth(when) is not False


def test_a_dark_panel_is_asked_for_no_code(book: Rulebook) -> None:
    """Where the panel is dark nobody is asked what it shows or flashes."""
    state, asked = _state(book, "shows a fault"), list[str]()
    for prompt in _played(state, random.Random(1)):
        asked.append(prompt.finding.id)
        if prompt.finding.id == "panel":
            state.apply(Answered("panel", "dark", "seen", "", "look at the panel"))
            break
    for _ in range(10):
        prompt = next_prompt(state)
        assert isinstance(prompt, AskFinding)
        assert prompt.finding.id != "panel shows"
        asked.append(prompt.finding.id)
        state.apply(Passed(prompt.finding.id, "cannot", ""))
    assert "panel" in asked


def test_what_is_not_decided_is_offered_only_beside_what_decides_it(book: Rulebook) -> None:
    """A check offers what makes no sense yet only in an act that brings what decides that."""
    for complaint in book.complaints:
        state = _state(book, complaint)
        for offer in candidate_checks(state):
            same = [one for one in book.checks.values() if one.run and one.run == offer.check.run]
            beside = {name for one in (offer.check, *same) for name in one.yields}
            for name in offer.findings:
                when = book.findings[name].asked_when
                if when is not None and state.chain.truth(when) is None:
                    assert state.chain.missing_for(when) & beside


def test_intake_asks_what_tells_of_the_complaints_own_causes(book: Rulebook) -> None:
    """Each first look tells of a cause that lists the complaint, of a danger, or of its end."""
    links = shipped.compiled(UNIT).links
    for complaint, about in book.complaints.items():
        state = _state(book, complaint)
        own = {at for at, listed in enumerate(links.complaints) if complaint in listed}
        tables = [table for table in links.tables if own & table.given.keys()]
        wanted = {name for table in tables for name in findings_of(state, table.sign)}
        below = state.compiled.below
        conditions = [proof.condition for proof in (*about.proof, *about.lesser_proof)]
        conditions += [danger.raised_when for danger in book.dangers.values()]
        for one in conditions:
            wanted |= set(findings_under(one, book.findings, below))
        whens = [book.findings[name].asked_when for name in wanted]
        deciding = {n for one in whens if one for n in findings_under(one, book.findings, below)}
        likely = worth_asking(state)
        for look in first_looks(state):
            if isinstance(look, AskFinding):
                assert look.finding.id in wanted | deciding | likely


def test_a_proof_reads_first_what_decides_the_rest_and_leaves_out_what_it_rules_out(
    book: Rulebook,
) -> None:
    """Whether it lights comes before the warm air; where it does not, nobody reads the warm air."""
    state = _state(book, "weak heat")
    state.apply(Repaired("duct crushed"))
    wanted = [one.finding.id for one in proof_readings(state, "")]
    assert wanted.index("lights up") < wanted.index("air at the outlet")
    state.apply(Answered("lights up", "no", "seen", "", "watch one start"))
    left = {one.finding.id for one in proof_readings(state, "")}
    assert {"lights up"} == left & {"lights up", "air at the outlet", "full heat held"}


def test_a_complaint_that_goes_on_after_a_repair_is_kept_with_it(book: Rulebook) -> None:
    """A complaint of whose proof something fails by readings taken again goes on, and is named."""
    state = _state(book, "will not start")
    state.apply(Repaired("glow plug aged"))
    for again in (False, True):
        state.apply(Answered("lights up", "no", "seen", "", "watch one start", again))
    for _ in range(MOST):
        if state.repairs:
            break
        prompt = next_prompt(state)
        assert isinstance(prompt, AskFinding)
        state.apply(Passed(prompt.finding.id, "cannot", ""))
    assert ("will not start",) == state.repairs[0].going_on
