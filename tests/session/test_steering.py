"""How the user steers: lists in any form, a check skipped or chosen, what is coming, Tab."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diag.model.rulebook import Rulebook
from diag.rulebook import load_rulebook
from diag.session.commands import WORDS, Command, Line, read_line
from diag.session.journal.events import Chosen, Equipped, Event, Passed, Together
from diag.session.prompt import AskFinding, AskTogether, StopWork
from diag.session.slips import NotUnderstood
from diag.session.steering.coming import coming
from diag.session.steering.completing import completions
from diag.session.steering.lists import is_list, places_of
from diag.session.steering.passing import check_passed
from tests.session.test_controller import BICYCLE, asked, sit, tell
from tests.session.test_laws import stands

NAMES = [("flat tyre", "puncture"), ("loose spoke",), ("chain off",), ("no bell",), ("dark lamp",)]


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook([BICYCLE], {})


def ways(low: int, high: int) -> list[str]:
    """Return how people write the entries of a list from one place, from 0, to another."""
    singly = [str(at + 1) for at in range(low, high + 1)]
    named = [NAMES[at][0] for at in range(low, high + 1)]
    ranges = [f"{low + 1}{mark}{high + 1}" for mark in ("-", " - ", " to ", "..", "–")]
    return [
        *(join.join(singly) for join in (",", ", ", " ", "; ", " and ")),
        *(join.join(named).upper() for join in (", ", " and ", "; ")),
        *ranges,
    ]


@given(data=st.data())
def test_a_list_is_read_in_any_form(data: st.DataObject) -> None:
    """Numbers, ranges and names, however they are joined, name the entries that they say."""
    places = st.integers(0, len(NAMES) - 1)
    spans = data.draw(st.lists(st.tuples(places, places).map(sorted), min_size=1, max_size=3))
    parts = [data.draw(st.sampled_from(ways(low, high))) for low, high in spans]
    text = data.draw(st.sampled_from((", ", " and ", "; "))).join(parts)
    wanted = {at for low, high in spans for at in range(low, high + 1)}
    assert tuple(sorted(wanted)) == places_of(text, NAMES)
    assert is_list(text, NAMES)


@pytest.mark.parametrize("text", ["none", "None.", "no", "0", "none of them"])
def test_none_of_a_list(text: str) -> None:
    """None of them is an answer, too."""
    assert () == places_of(text, NAMES)


@pytest.mark.parametrize("text", ["6", "0 1", "2-9", "1 x", "moon", "", ",", "1-", "²", "9" * 5000])
def test_what_is_on_no_list_is_refused(text: str) -> None:
    """A number beyond the list, or a word that names nothing on it, is refused in a sentence."""
    with pytest.raises(NotUnderstood, match="is not on the list; type `none`"):
        places_of(text, NAMES)


def test_a_check_is_skipped_as_one_act(book: Rulebook) -> None:
    """All that is left of it is passed over at once, and `undo` brings all of it back."""
    controller, journal = sit(book)
    tell(controller, "no", "soft")
    controller.choose("overnight gauge")
    before = stands(controller.state)
    assert "pressure in the evening" == asked(controller)
    controller.skip_check()
    skipped = journal[-1]
    assert isinstance(skipped, Together)
    passed = [one.finding for one in skipped.events if isinstance(one, Passed)]
    assert ["pressure in the evening", "pressure in the morning"] == passed
    assert asked(controller) not in passed
    controller.undo()
    assert before == stands(controller.state)


@pytest.mark.parametrize(
    "said", ["overnight gauge", "Overnight  Gauge", "pressure in the morning", "gauge", "overn"]
)
def test_another_check_is_taken_by_name_or_words(book: Rulebook, said: str) -> None:
    """It is heard by its name, by a reading that it takes, or by the beginnings of its words."""
    controller, journal = sit(book)
    tell(controller, "no", "soft")
    before = stands(controller.state)
    assert "overnight gauge" == controller.choose(said).id
    assert Chosen("overnight gauge") == journal[-1]
    prompt = controller.prompt
    assert isinstance(prompt, AskFinding)
    assert ("overnight gauge", True) == (prompt.check and prompt.check.id, prompt.opening)
    controller.undo()
    assert before == stands(controller.state)


def test_what_is_chosen_comes_after_what_is_asked_for_safety(book: Rulebook) -> None:
    """Safety stays first; the chosen check is next."""
    controller, _ = sit(book)
    controller.choose("feel the tread")
    assert "brake gone" == asked(controller)
    tell(controller, "no")
    assert "thorn" == asked(controller)


def test_what_was_passed_over_comes_back_when_it_is_chosen(book: Rulebook) -> None:
    """To choose a check is to take back that it was passed over."""
    controller, _ = sit(book)
    tell(controller, "no")
    controller.skip_check()
    assert "tyre" != asked(controller)
    controller.choose("thumb the tyre")
    assert "tyre" == asked(controller)


REFUSED = (
    (
        ("yes", "done"),
        "ride round the block",
        "`ride round the block` is forbidden while this danger holds: No brakes (rides it); work "
        "may go on when: both levers are firm, and both brakes stop it on the grass",
    ),
    (("no",), "grass", "`roll it on the grass` waits for a danger, and there for all other looks"),
    (
        ("no", "soft"),
        "tyre",
        "`thumb the tyre` is read already; `change FINDING = ANSWER` corrects a reading",
    ),
    (
        ("no",),
        "spit at the moon",
        "there is no check `spit at the moon`; near it are `spit on the valve`",
    ),
    (("no",), "", "write the check behind it: do CHECK; `next 3` shows what is coming"),
)


@pytest.mark.parametrize(("answers", "said", "why"), REFUSED)
def test_a_check_is_refused_with_the_reason(
    book: Rulebook, answers: tuple[str, ...], said: str, why: str
) -> None:
    """A danger that forbids it, or that it tells nothing, is said; nothing is recorded."""
    controller, journal = sit(book)
    tell(controller, *answers)
    before = list(journal)
    with pytest.raises(NotUnderstood) as refused:
        controller.choose(said)
    assert why == str(refused.value)
    assert before == journal


def test_what_is_not_at_hand_is_not_within_reach(book: Rulebook) -> None:
    """The refusal names what is wanted."""
    controller, _ = sit(book)
    tell(controller, "no")
    controller.record(Equipped("", ()))
    with pytest.raises(NotUnderstood, match="is not within reach: it wants `gauge`; `tools` shows"):
        controller.choose("overnight gauge")


def test_what_is_coming_is_what_comes(book: Rulebook) -> None:
    """The acts listed are those that follow as each is passed over; the session stays as it is."""
    controller, journal = sit(book)
    tell(controller, "no")
    known = list(journal)
    listed = coming(controller.state, 3)
    assert known == journal == controller.state.journal
    follow = []
    for _ in listed:
        if isinstance(controller.prompt, AskFinding | AskTogether):
            controller.skip_check()
        else:
            controller.answer(Line("other"))
        follow.append(controller.prompt)
    assert [repr(one) for one in follow] == [repr(one) for one in listed]


def test_coming_of_a_danger(book: Rulebook) -> None:
    """What follows a stop is told, too."""
    controller, _ = sit(book)
    tell(controller, "yes")
    assert isinstance(controller.prompt, StopWork)
    assert 2 == len(coming(controller.state, 2))


@given(data=st.data())
def test_tab_offers_whole_lines_that_go_on_from_what_is_typed(data: st.DataObject) -> None:
    """Each line that is offered begins with what is typed; all words stand at an empty line."""
    rulebook = load_rulebook([BICYCLE], {})
    controller, _ = sit(rulebook)
    every = completions(rulebook, controller.prompt, "")
    assert {"yes", "no"} | {each[0] for each, _ in WORDS.values()} == set(every)
    names = [*every, "do overnight gauge", "change tyre = hard", "why thorn", "here ", "zzz"]
    line = data.draw(st.sampled_from([one[:end] for one in names for end in range(len(one) + 1)]))
    assert all(one.startswith(line) for one in completions(rulebook, controller.prompt, line))


def test_tab_behind_a_word(book: Rulebook) -> None:
    """Behind a word stand the names that it takes, and in `change` the states of a finding."""
    controller, _ = sit(book)
    at = controller.prompt
    assert ("do overnight gauge",) == completions(book, at, "do ov")
    assert ("change tyre = ",) == completions(book, at, "change ty")
    states = tuple(f"change tyre = {state}" for state in book.findings["tyre"].states)
    assert states == completions(book, at, "change tyre = ")


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("next", Command("next")),
        ("next 3", Command("next", "3")),
        ("next to the pump it drips", Line("next to the pump it drips")),
        ("skip", Command("cannot")),
        ("skip check", Command("skip check")),
        ("again", Command("again")),
        ("do valve", Command("do", "valve")),
        ("use battery", Command("use", "battery")),
    ],
)
def test_new_words_are_told_from_answers(line: str, read: Command | Line) -> None:
    """A word takes what may stand behind it, and leaves sentences alone."""
    assert read == read_line(line)


def test_a_reading_to_be_taken_again_is_skipped_alone(book: Rulebook) -> None:
    """Its check was made already: nothing else of it is passed over."""
    controller, _ = sit(book)
    tell(controller, "no")
    prompt = controller.prompt
    assert isinstance(prompt, AskFinding)
    event: Event = check_passed(controller.state, replace(prompt, check=None))
    assert isinstance(event, Passed)
