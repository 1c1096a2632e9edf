"""Who works where and with what: only what can be read there is asked, and it comes back."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.model.rulebook import Rulebook
from diag.session.candidates import candidate_checks
from diag.session.journal.events import (
    CANNOT,
    Answered,
    Equipped,
    Event,
    LeftOut,
    Passed,
    as_record,
    from_record,
)
from diag.session.next_prompt import next_prompt
from diag.session.offer.words import begin, change, told_at_hand
from diag.session.prompt import AskFinding, AskTogether, Closing, ProposeRepair
from diag.session.slips import NotUnderstood
from diag.session.state import SessionState
from tests.dangers import shipped

UNIT, COMPLAINT = "small 12 V", "will not start"
PROFILES = ("phone", "vehicle", "bench", "workshop")


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return shipped.book()


def _state(book: Rulebook, *events: Event) -> SessionState:
    return SessionState(book, book.units[UNIT], COMPLAINT, shipped.compiled(UNIT)).replay(events)


def _possible(book: Rulebook, there: Equipped, check: str, finding: str) -> bool:
    """Tell the slow and plain way whether a reading can be had: all that it names is there."""
    one, here = book.checks[check], book.profiles[there.profile]
    tools = [t for t in one.tools if t not in one.needed_for or finding in one.needed_for[t]]
    places = one.access in here.reaches and set(one.there) <= set(here.there)
    return places and set(tools) <= set(there.tools)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(PROFILES), st.data())
def test_only_what_is_at_hand_is_offered(book: Rulebook, profile: str, data: st.DataObject) -> None:
    """Every reading of every check on offer can be had with the tools and the place there."""
    away = data.draw(st.lists(st.sampled_from(book.tools), unique=True))
    there = begin(book, profile)
    there = Equipped(profile, tuple(one for one in there.tools if one not in away))
    offered = candidate_checks(_state(book, there))
    wrong = [
        (one.check.id, name)
        for one in offered
        for name in one.findings
        if not _possible(book, there, one.check.id, name) and name not in book.asked_first
    ]
    assert [] == wrong


@pytest.mark.parametrize("profile", PROFILES)
def test_a_whole_session_asks_nothing_that_cannot_be_done(book: Rulebook, profile: str) -> None:
    """From the first prompt to the last no question wants a tool or a place that is not there."""
    there = begin(book, profile, "clamp meter" if profile == "workshop" else "")
    state, wrong = _state(book, there), []
    for _ in range(80):
        prompt = next_prompt(state)
        if isinstance(prompt, AskTogether):
            for one in prompt.findings:
                state.apply(Answered(one.id, "no", "told", "", prompt.check.id))
        elif isinstance(prompt, AskFinding):
            check = prompt.check.id if prompt.check else ""
            if check and not _possible(book, there, check, prompt.finding.id):
                wrong.append(prompt.finding.id)
            state.apply(Passed(prompt.finding.id, CANNOT))
        else:
            break
    assert [] == wrong
    assert isinstance(prompt, Closing | ProposeRepair)


def test_a_missing_tool_is_said_once_and_comes_back(book: Rulebook) -> None:
    """Without its tool a check is offered nowhere; with it again, all is as it was."""
    begun = begin(book, "workshop")
    state = _state(book, begun)
    before = candidate_checks(state)
    without = told_at_hand(book, state.reach, "I have no clamp meter here.")
    assert without is not None
    state.apply(without)
    names = {name for one in candidate_checks(state) for name in one.findings}
    assert set() == {name for name in names if name.startswith("amps")}
    state.apply(change(book, state.reach, "with", "clamp meter"))
    assert before == candidate_checks(state)


def test_what_could_not_be_done_comes_back_elsewhere(book: Rulebook) -> None:
    """What was passed over as not possible is open at another profile; `not sure` stays passed."""
    state = _state(
        book, begin(book, "phone"), Passed("outlets", CANNOT), Passed("panel", "not sure")
    )
    state.apply(begin(book, "vehicle"))
    assert ["panel"] == list(state.passed)


def test_by_phone_it_ends_in_what_to_bring(book: Rulebook) -> None:
    """A session from afar ends in at most three causes, tools, parts and what to do first."""
    state = _state(book, begin(book, "phone"))
    for _ in range(80):
        prompt = next_prompt(state)
        if isinstance(prompt, AskTogether):
            for one in prompt.findings:
                state.apply(Answered(one.id, "no", "told", "", prompt.check.id))
        elif isinstance(prompt, AskFinding):
            state.apply(Passed(prompt.finding.id, CANNOT))
        else:
            break
    assert isinstance(prompt, Closing)
    ending = prompt.ending
    assert ("goes on elsewhere", True) == (ending.kind, ending.is_open)
    assert ending.bring is not None
    assert 3 == len(ending.bring.causes)
    assert ending.bring.first in book.checks
    assert "multimeter" in ending.bring.wanted
    assert set() == set(ending.bring.wanted) & set(begin(book, "phone").tools)
    state.apply(begin(book, "vehicle"))
    assert isinstance(next_prompt(state), AskFinding)


def test_nobody_asks_an_owner_who_is_not_there(book: Rulebook) -> None:
    """At the bench no check is offered that wants the owner or the vehicle."""
    offered = candidate_checks(_state(book, begin(book, "bench")))
    assert offered
    assert [] == [one.check.id for one in offered if one.check.there]


def test_what_is_told_from_afar_counts_as_told(book: Rulebook) -> None:
    """By phone every finding is known by word only, whatever it is at the unit."""
    state = _state(book, begin(book, "phone"))
    assert {"told"} == {state.reach.how(one) for one in book.findings.values()}


@pytest.mark.parametrize(
    ("word", "said", "sentence"),
    [
        ("without", "clamp", "no check knows the tool `clamp`; near it are `clamp meter`"),
        ("with", "", "write the tool behind it: with TOOL"),
        ("with", "xyzzy", "no check knows the tool `xyzzy`; `tools` lists them"),
        (
            "here",
            "moon",
            "there is no profile `moon`; known are `bench`, `phone`, `vehicle`, `workshop`",
        ),
    ],
)
def test_a_name_that_there_is_not(book: Rulebook, word: str, said: str, sentence: str) -> None:
    """A tool or place that nobody knows is refused with the nearest names."""
    with pytest.raises(NotUnderstood) as refused:
        change(book, _state(book).reach, word, said)
    assert str(refused.value).startswith(sentence)


@pytest.mark.parametrize(
    "line", ["no flame", "yes", "without charge for three days", "no", "12.4 V", "no fuel in it"]
)
def test_an_answer_is_no_word_on_tools(book: Rulebook, line: str) -> None:
    """Only a tool that a check knows is taken for one."""
    assert told_at_hand(book, _state(book).reach, line) is None


def test_what_is_at_hand_is_stored_and_read(book: Rulebook) -> None:
    """The event comes back from plain data as it was; damage in it is left out with a sentence."""
    there = begin(book, "vehicle")
    kind, payload = as_record(there)
    assert there == from_record(kind, {**payload, "tools": list(payload["tools"])})
    damaged = from_record(kind, {"profile": "vehicle", "tools": [3]})
    assert isinstance(damaged, LeftOut)
    assert damaged.why.startswith("an entry `equipped` cannot be read")


def test_a_repair_that_wants_the_vehicle_is_not_made_on_the_bench(book: Rulebook) -> None:
    """Where what it must be made on is not there, a repair is told of as what comes later."""
    battery, screen = (book.causes[name].repair for name in ("worn battery", "glow plug aged"))
    bench, vehicle = (_state(book, begin(book, name)).reach for name in ("bench", "vehicle"))
    assert (False, True) == (bench.makes(battery), vehicle.makes(battery))
    assert (True, False) == (bench.makes(screen), vehicle.makes(screen))
    assert ("vehicle",) == bench.lacked(battery)
    assert ("on the bench",) == vehicle.lacked(screen)
