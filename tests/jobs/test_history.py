"""A history tells what the journals hold, judged by the rules as they are."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from diag.jobs.history.sessions import job_history
from diag.jobs.history.stages import stages_of
from diag.jobs.history.told import SessionHistory
from diag.jobs.record import index_of
from diag.model.case import Case
from diag.session.account.course import Believed
from diag.session.journal.events import Answered, Corrected, Repaired, Withdrawn, journal_of
from diag.session.journal.events import as_record as as_event
from diag.session.state import SessionState
from diag.store.jobs import Jobs
from tests.dangers import shipped
from tests.jobs.demo import (
    LIB_03,
    cases_of,
    demo_stages,
    drive,
    finished,
    opened,
    store_in,
    stored,
)
from tests.jobs.shipped_jobs import DANGER, material

PLAYED = {
    name: case
    for name, case in cases_of(shipped.book(), "fuel", "dangers", "sound").items()
    if case.truth or case.complaint == "check it over"
}


def _session(folder: Path, stages: list[Case]) -> tuple[SessionHistory, SessionState]:
    """Return the history of a session, and its state replayed from its journal at once."""
    store, book = store_in(folder), shipped.book()
    name = drive(store, book, stages, None)
    row, events = store.session(name), store.events(name)
    history = job_history(book, [(row, events)]).sessions[0]
    state = SessionState(book, book.units[stages[0].unit], stages[0].complaint)
    return history, state.replay(journal_of(events))


@pytest.mark.parametrize("name", list(PLAYED)[::9])
def test_the_last_readings_and_dangers_are_those_of_the_session(name: str, tmp_path: Path) -> None:
    """The last reading of each finding, its stage, and the dangers that hold are the state's."""
    history, state = _session(tmp_path, [PLAYED[name]])
    last = {one.finding: (one.value, one.how, one.stage) for one in history.readings}
    assert {name: (one.value, one.how, one.stage) for name, one in state.readings.items()} == last
    assert set(state.dangers.held) == {one.danger for one in history.dangers if one.holds}
    raised = [one.danger for one in state.dangers.passages if one.what == "raised"]
    assert raised == [one.danger for one in history.dangers]
    made = [one.cause for one in state.repairs] + ([state.in_proof] if state.in_proof else [])
    assert made == [one.cause for one in history.repairs]


def test_belief_after_each_act_is_that_of_the_journal_cut_off_there(tmp_path: Path) -> None:
    """Each step of belief is that of a session begun anew with the journal up to there."""
    store, book = store_in(tmp_path), shipped.book()
    stages = demo_stages(book)
    name = drive(store, book, stages, None)
    events = store.events(name)
    steps = job_history(book, [(store.session(name), events)]).sessions[0].beliefs
    journal = journal_of(events)
    at = 0
    for count in range(len(journal) + 1):
        if count and as_event(journal[count - 1])[0] not in ("answered", "together", "repaired"):
            continue
        state = SessionState(book, book.units["LIB-03"], stages[0].complaint)
        state.replay(journal[:count])
        assert dict(state.posterior.causes) == pytest.approx(dict(steps[at].shares))
        at += 1
    assert len(steps) == at


def test_what_is_read_without_rules_is_what_the_rules_judge(tmp_path: Path) -> None:
    """The stages of a journal alone hold, stage by stage, the last reading of each finding."""
    store, book = store_in(tmp_path), shipped.book()
    name = drive(store, book, demo_stages(book), None)
    events = store.events(name)
    (session,) = job_history(book, [(store.session(name), events)]).sessions
    told: dict[int, dict[str, object]] = {}
    for one in session.readings:
        told.setdefault(one.stage, {})[one.finding] = (one.value, one.how)
    stages = stages_of(journal_of(events))
    assert len(stages) > 1
    assert ["", *(one.cause for one in session.repairs)] == [one.after for one in stages]
    assert told == {
        at: {name: (one.value, one.how) for name, one in stage.readings.items()}
        for at, stage in enumerate(stages)
        if stage.readings
    }


def test_an_act_is_named_by_what_it_told() -> None:
    """Several answers at once are one step, named by those not usual, or by their check."""

    def named(*act: Answered | Repaired) -> str:
        return Believed(act, {}, 0.0, 0.0).after

    smoke, smell = Answered("smoke", "yes", "seen", "", "look"), Answered("smell", "no", "smelt")
    assert "the complaint alone" == named()
    assert "smoke: yes" == named(smoke)
    assert "smoke" == named(smell, smoke)
    assert "look: none" == named(replace(smoke, value="no"), smell)
    assert "repair: hose" == named(Repaired("hose"))


def test_before_and_after_a_repair_have_their_stages_limits_and_errors() -> None:
    """LIB-03's worn battery reads too low before, well after; limits say from where they come."""
    (session,) = material("finished").sessions
    terminals = [
        one for one in session.readings if one.finding == "volts at the terminals while igniting"
    ]
    assert [(0, "10.6 V", False), (1, "12.45 V", True)] == [
        (one.stage, str(one.value), one.limit.is_good) for one in terminals
    ]
    first = terminals[0]
    # 0.5 % of 10.6 V and 0.02 V, as LIB-03's file says of its meter.
    assert ("0.4 V too low", "0.073 V") == (first.limit.missed, first.meter)
    assert "11 V or more (class value)" == first.limit.good
    assert "low-voltage cut-off 10.5 V (class value, memory)" in first.limit.origin
    assert "nominal voltage 12 V (unit file, invented)" in first.limit.origin
    assert "load test at the battery" == first.check
    assert "2026-11-03T09:10" == first.at[:16]


def test_a_correction_takes_the_place_of_the_slip_and_what_is_withdrawn_is_gone(
    tmp_path: Path,
) -> None:
    """A history holds what counts: not the slip that was corrected, nor what was taken back."""
    store, book = store_in(tmp_path), shipped.book()
    name = store.create({"unit": "LIB-03", "complaint": "fan only", "rulebook": book.hash})
    for event in (
        Answered("panel", "dark", "seen"),
        Corrected("panel", "lit", "seen"),
        Answered("lights dim", "yes", "told"),
        Withdrawn("lights dim"),
    ):
        store.append(name, *as_event(event))
    (session,) = job_history(book, [(store.session(name), store.events(name))]).sessions
    assert [("panel", "lit")] == [(one.finding, one.value) for one in session.readings]


def test_a_danger_is_told_with_what_raised_it_and_holds_until_it_is_released(
    tmp_path: Path,
) -> None:
    """The bang at light-up raises the flooded burner, and a later reading releases it."""
    (cut,) = material("danger").sessions
    assert [("flooded burner", "bang at light-up", True)] == [
        (one.danger, one.raised_by, one.holds) for one in cut.dangers
    ]
    case = cases_of(shipped.book(), "dangers")[DANGER]
    later = replace(case, readings={**case.readings, **case.after.get("flooded burner", {})})
    history, state = _session(tmp_path, [later])
    (one,) = [each for each in history.dangers if each.danger == "flooded burner"][:1]
    released = [each.by for each in state.dangers.passages if each.what == "released"]
    assert released[:1] == ([one.released_by] if one.released_by else [])


def test_what_cannot_be_read_is_told_and_left_out(tmp_path: Path) -> None:
    """A session of a unit or complaint that the rules do not know is named; the others are told."""
    store, book = store_in(tmp_path), shipped.book()
    jobs, job = opened(store, LIB_03, "dies")
    drive(store, book, demo_stages(book), job, most=3)
    gone = [
        store.create({"unit": "LIB-99", "complaint": "fan only", "rulebook": "x"}, job),
        store.create({"unit": "LIB-03", "complaint": "sulks", "rulebook": "x"}, job),
        store.create({}, job),
    ]
    history = job_history(book, stored(store, jobs, job))
    assert 1 == len(history.sessions)
    assert [True] * 3 == [name in said for name, said in zip(gone, history.left_out, strict=True)]
    assert "the rules no longer know the unit `LIB-99`" in history.left_out[0]


def test_a_session_of_other_rules_says_that_they_have_changed(tmp_path: Path) -> None:
    """Rules that changed since, and an answer that they no longer know, are told."""
    store, book = store_in(tmp_path), shipped.book()
    name = store.create({"unit": "LIB-03", "complaint": "fan only", "rulebook": "older"})
    store.append(name, *as_event(Answered("colour of the case", "red", "seen")))
    (session,) = job_history(book, [(store.session(name), store.events(name))]).sessions
    assert session.rules_changed
    assert ("the rules no longer know `colour of the case`: its answer is left out",) == (
        session.left_out
    )


def test_the_history_of_a_job_is_the_same_each_time(tmp_path: Path) -> None:
    """Nothing but the record and the rules is in a history."""
    store, book = store_in(tmp_path), shipped.book()
    jobs, job = finished(store, book)
    again = Jobs(store, index_of)
    one = job_history(book, stored(store, jobs, job))
    assert one == job_history(book, stored(store, again, job))
