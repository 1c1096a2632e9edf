"""A session through the facade: question, answer, verdict, reasons, and events as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag import NotUnderstood, Session, load_rules
from diag.model.case import Case
from diag.model.rulebook import Rulebook
from diag.physics.formulas.catalogue import FORMULAS
from diag.rulebook import load_cases
from tests.library.answers import BREAD, Bench, Told, begun, bench_of, tell

SOUND = "a good loaf"
LEAKY = Bench(
    {"brake gone": "no", "tyre": "soft", "bubbles at the valve": "yes", "thorn": "no"},
    {
        "tyre": "hard",
        "pressure in the evening": "4 bar",
        "pressure in the morning": "3,9 bar",
    },
)


def told_bread(bread: Rulebook, cases: dict[str, Case], name: str) -> Told:
    return tell(begun(bread, cases[name]), bench_of(cases[name], cases[SOUND]))


def test_every_fault_of_the_bread_book_is_found_mended_and_proved(
    bread: Rulebook, cases: dict[str, Case]
) -> None:
    """A session on any unit with one fault ends with that fault's repair, and no other, proved."""
    single = [case for case in cases.values() if len(case.truth) == 1]
    for case in single:
        session = told_bread(bread, cases, case.id).session
        assert (True, "proved", case.truth) == (
            session.done,
            session.verdict.ending,
            session.verdict.repaired,
        )


def test_a_sound_loaf_ends_as_sound(bread: Rulebook, cases: dict[str, Case]) -> None:
    """Where nothing is wrong, nothing is mended, and that is what is believed most."""
    standing = told_bread(bread, cases, SOUND).session.verdict
    assert ("nothing wrong", ()) == (standing.ending, standing.repaired)
    assert standing.nothing_wrong > max(one.share for one in standing.causes)


def test_the_bicycle_book_runs_by_the_same_lines(bicycle: Rulebook) -> None:
    """The same facade runs another subject from question to verdict."""
    told = tell(Session(bicycle, complaint="loses air"), LEAKY)
    assert ("proved", ("leaky valve",)) == (
        told.session.verdict.ending,
        told.session.verdict.repaired,
    )
    for number, question in told.asked.items():
        assert question == Session.resume(bicycle, told.events[:number]).question


@pytest.mark.parametrize(
    "name", ["an old packet", "gas in the kitchen", "forgotten over the afternoon", SOUND]
)
def test_a_session_goes_on_from_any_of_its_events(
    bread: Rulebook, cases: dict[str, Case], name: str
) -> None:
    """Resumed from the events so far, as JSON, it asks what it asked then."""
    told = told_bread(bread, cases, name)
    for number, question in told.asked.items():
        resumed = Session.resume(bread, json.loads(json.dumps(told.events[:number])))
        assert question == resumed.question
        assert told.events[:number] == resumed.events


def test_a_proof_is_judged_by_its_readings_alone(bread: Rulebook, cases: dict[str, Case]) -> None:
    """No entry holds a judgement: events that end with the last reading of a proof are proved."""
    told = told_bread(bread, cases, "an old packet")
    assert {"begun", "answered", "repaired"} == {one["kind"] for one in told.events}
    assert "answered" == told.events[-1]["kind"]
    short, whole = (Session.resume(bread, told.events[:end]) for end in (-1, len(told.events)))
    assert ("open", ()) == (short.verdict.ending, short.verdict.repaired)
    assert ("proved", ("yeast dead",)) == (whole.verdict.ending, whole.verdict.repaired)


def test_the_events_of_a_session_are_its_own(bread: Rulebook) -> None:
    """What is done to the list that was handed out changes no session."""
    session = Session(bread, complaint="does not rise")
    session.answer("no")
    session.events.clear()
    session.events[0]["kind"] = "other"
    assert ["begun", "answered"] == [one["kind"] for one in session.events]


def test_a_question_tells_all_that_is_needed_to_put_it(bread: Rulebook) -> None:
    """A choice comes with its choices, its act and what to mind."""
    session = Session(bread, complaint="it is so gummy!")
    session.answer("no")
    session.answer("clean")
    question = session.question
    assert ("choice", "How did the loaf rise?") == (question.kind, question.text)
    assert ["tall", "low", "sunken"] == list(question.choices)
    assert ("look at the loaf", "loaf") == (question.check, question.finding)
    assert ("Look at the last loaf and cut it through.",) == question.steps
    assert (bread.cautions["sharp blade"],) == question.cautions


def test_a_number_is_asked_with_its_unit(bread: Rulebook, cases: dict[str, Case]) -> None:
    """A bare number is taken in the unit that the question names."""
    told = told_bread(bread, cases, "an old packet")
    froth = next(one for one in told.asked.values() if one.finding == "froth")
    assert ("quantity", "mm", {}) == (froth.kind, froth.unit, froth.choices)


def test_a_danger_stops_the_work_until_readings_release_it(bread: Rulebook) -> None:
    """At a danger only `done` is taken, which releases nothing: later readings do."""
    session = Session(bread, complaint="poor crust")
    session.answer("yes")
    assert ("stop", "Gas is escaping") == (session.question.kind, session.question.text)
    assert "Put out every flame and touch no switch." == session.question.steps[0]
    assert "stop" == session.verdict.ending
    with pytest.raises(NotUnderstood, match="type `done` once that is done, or `leave`"):
        session.answer("golden")
    session.answer("done")
    told = tell(session, Bench({"flour": "clean", "smell of gas": "no"}, {}))
    assert "handed over" == session.verdict.ending
    oven = {"thermometer in the oven", "probe the loaf"}
    assert oven.isdisjoint(one.check for one in told.asked.values())
    session.change("gas tightness", "tight")
    assert "open" == session.verdict.ending


def test_reasons_for_a_conclusion_name_rule_and_values(bread: Rulebook) -> None:
    """`why` of a sign tells what the rule says and which readings it rests on."""
    session = Session(bread, complaint="does not rise")
    session.change("froth", "0 mm")
    assert (
        "life of the yeast is dead: what makes no gas in a glass makes none in dough (froth 0 mm)",
    ) == session.why("life of the yeast")
    assert ("froth: 0 mm, measured",) == session.why("froth")
    assert ("nothing is known of `dent` yet",) == session.why("dent")


def test_reasons_for_a_cause_add_up_to_its_odds(bread: Rulebook) -> None:
    """The decibans for a cause begin with its prior, and its own sign counts for it."""
    session = Session(bread, complaint="does not rise")
    session.change("froth", "0 mm")
    first, *weights = session.why("Yeast dead")
    assert f"The yeast is dead: {session.verdict.causes[0].share:.1%}" == first
    assert "yeast dead" == session.verdict.causes[0].cause
    (sign,) = [one for one in weights if "sign: life of the yeast is dead" in one]
    assert float(sign.split()[0]) > 15
    assert weights[0].endswith("against: how common it is")
    assert "points, strongly for: " in sign


def test_the_reason_for_a_question_is_that_of_its_prompt(bread: Rulebook) -> None:
    """Without a name, `why` says why this is asked."""
    assert ("safety comes before everything else",) == Session(bread).why()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ("perhaps", "`perhaps` is neither yes nor no; type `y` or `n`"),
        ("", "the answer is empty; type one, or say that it is not known"),
        ("where", "`where` is a command of the terminal, and no answer"),
    ],
)
def test_what_is_no_answer_is_refused_in_one_sentence(
    bread: Rulebook, wrong: str, sentence: str
) -> None:
    """The sentence says what would be an answer, and nothing has changed."""
    session = Session(bread)
    before = session.question
    with pytest.raises(NotUnderstood) as refused:
        session.answer(wrong)
    assert sentence == str(refused.value)
    assert (before, 1) == (session.question, len(session.events))


def test_an_unknown_name_is_refused_with_what_is_near(bread: Rulebook) -> None:
    """Unit, complaint, finding and cause are each refused with names that exist."""
    with pytest.raises(NotUnderstood, match="no unit `rye`; known are `tin loaf`"):
        Session(bread, unit="rye")
    with pytest.raises(NotUnderstood, match="no complaint `hums`; known are `does not rise`"):
        Session(bread, complaint="hums")
    session = Session(bread)
    with pytest.raises(NotUnderstood, match="near it are `yeast dead`"):
        session.why("yeast deaf")
    with pytest.raises(NotUnderstood, match="there is no finding `frot`; near it are `froth`"):
        session.change("frot", "3 mm")


def test_a_usual_slip_is_taken_only_when_it_is_meant(bread: Rulebook) -> None:
    """What looks like a slip is refused once, and taken where the caller is sure."""
    session = Session(bread)
    with pytest.raises(NotUnderstood, match="few loaves take more than 60 g of salt; type it"):
        session.change("salt weighed", "100 g")
    assert 1 == len(session.events)
    session.change("salt weighed", "100 g", sure=True)
    assert "salt weighed" == session.events[-1]["finding"]


def test_an_answer_taken_back_is_asked_again(bread: Rulebook) -> None:
    """After `undo` the same finding is asked as before the answer."""
    session = Session(bread)
    before = session.question
    assert session.undo() is False
    session.answer("no")
    assert session.question != before
    assert session.undo() is True
    assert (before.finding, before.text) == (session.question.finding, session.question.text)


@given(text=st.text(max_size=40))
@settings(max_examples=150)
def test_any_text_is_an_answer_or_refused(bread: Rulebook, text: str) -> None:
    """Whatever is typed, it is recorded or refused, and a refusal records nothing."""
    session = Session(bread)
    refusal = ""
    try:
        session.answer(text)
    except NotUnderstood as refused:
        refusal = str(refused)
    assert bool(refusal) == (len(session.events) == 1)
    assert len(session.events) in (1, 2)


def test_rules_that_changed_since_leave_out_what_they_no_longer_know(
    bread: Rulebook, tmp_path: Path
) -> None:
    """What is gone from the rules is told and left out; the events stay as they were."""
    session = Session(bread, complaint="does not rise")
    session.answer("no")
    events: list[dict[str, Any]] = session.events
    gone = {**events[1], "finding": "moon", "value": "full"}
    changed = {**events[1], "finding": "flour", "value": "lumpy"}
    retired = {"kind": "declined", "cause": "witchcraft"}
    resumed = Session.resume(bread, [*events, gone, changed, retired])
    assert (
        "the rules no longer know `moon`: its answer is left out",
        "`flour` can no longer be answered as it was: that answer is left out",
        "the rules no longer know `witchcraft`: its repair is left out",
    ) == resumed.left_out
    assert [*events, gone, changed, retired] == resumed.events
    assert session.question == resumed.question


@pytest.mark.parametrize("broken", [[], [{"kind": "answered"}]])
def test_what_no_session_wrote_is_refused(bread: Rulebook, broken: list[dict[str, Any]]) -> None:
    """Events that do not begin a session are refused as what was typed wrongly is."""
    with pytest.raises(NotUnderstood, match=r"the first entry of a session is `begun`; pass all"):
        Session.resume(bread, broken)


@pytest.mark.parametrize(
    "broken",
    [
        {"kind": "sneezed"},
        {"kind": "answered", "finding": "flour"},
        {"kind": "passed", "finding": "flour", "reason": "x", "more": 1},
    ],
)
def test_a_damaged_entry_is_left_out_with_a_sentence(
    bread: Rulebook, broken: dict[str, Any]
) -> None:
    """One entry that cannot be read costs no more than itself, and it stays among the events."""
    session = Session(bread, complaint="does not rise")
    session.answer("no")
    events: list[dict[str, Any]] = session.events
    resumed = Session.resume(bread, [events[0], broken, *events[1:]])
    kind = broken["kind"]
    sentence = f"an entry `{kind}` cannot be read by this version: it is left out"
    assert (sentence,) == resumed.left_out
    assert [events[0], broken, *events[1:]] == resumed.events
    assert session.question == resumed.question


def test_the_shipped_rules_run_with_the_sums_that_they_call() -> None:
    """With the formulas handed in, the demonstration unit's fault is found, mended and proved."""
    book = load_rules("rules", formulas=FORMULAS)
    shown = {case.id: case for case in load_cases(Path("rules/cases/demo.yaml"), book)}
    before, after = shown["LIB-03 on the bench"], shown["LIB-03 after the repair"]
    session = tell(begun(book, before), bench_of(before, after)).session
    assert ("proved", before.truth) == (session.verdict.ending, session.verdict.repaired)


DRAFT = """\
cause: mice in the bin
title: Mice have been at the flour
area: dough
status: draft
source: invented
share: common
complaints: {does not rise: probable}
shows: {loaf: {low: probable}}
repair: {do: [Buy a tin.], minutes: 2}
proof: [loaf is tall]
tell the owner: Keep the flour in a tin.
rules out when: [{when: loaf is tall, why: mice eat it all}]
"""


def test_a_draft_takes_part_only_where_it_is_wanted(bread: Rulebook, tmp_path: Path) -> None:
    """A draft cause is left out with its rules, unless drafts are asked for."""
    (tmp_path / "dough").mkdir()
    (tmp_path / "dough" / "mice-in-the-bin.yaml").write_text(DRAFT, encoding="utf-8")
    assert "mice in the bin" in load_rules(BREAD, tmp_path, drafts=True).causes
    without = load_rules(BREAD, tmp_path)
    assert set(bread.causes) == set(without.causes)
    told = [tell(Session(book, complaint="does not rise"), Bench({"loaf": "low"}, {}))
            for book in (bread, without)]  # fmt: skip
    assert told[0].session.verdict == told[1].session.verdict


def test_reasons_and_judgements_come_as_data(bread: Rulebook) -> None:
    """What the screen tells of a cause and of a number, another program gets as values."""
    session = Session(bread, complaint="does not rise")
    session.change("froth", "0 mm")
    (first, *_) = session.reasons("Yeast dead").speaks_for
    assert ("life of the yeast", "dead") == (first.sign, first.state)
    assert ["froth"] == [name for name, _ in first.rests_on]
    judged = session.judgement("froth")
    assert judged is not None
    assert not judged.is_good
    assert session.judgement("dent") is None
    verdict = session.verdict
    total = sum(one.share for one in verdict.causes) + verdict.nothing_wrong + verdict.unknown
    assert pytest.approx(total) == 1 + verdict.twice
    with pytest.raises(NotUnderstood, match="there is no cause `dough`"):
        session.reasons("dough")
