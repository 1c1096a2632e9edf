"""Kinds of sentences, each heard alike whatever numbers and parts it names (all invented)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.cli.book import load_book
from diag.rulebook import parse_answer
from diag.session.hearing import Ear
from diag.session.prompt import AskFinding
from diag.session.slips import NotUnderstood

COMMON = settings(deadline=None, max_examples=40)
FEW = st.integers(2, 9)
SPELT = ("two", "three", "four", "five", "six", "seven", "eight", "nine")


@pytest.fixture(scope="module")
def ear(tmp_path_factory: pytest.TempPathFactory) -> Ear:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DIAG_HOME", str(tmp_path_factory.mktemp("home")))
        return Ear(load_book())


def heard(ear: Ear, said: str) -> dict[str, str]:
    """Return finding to value, complaints left out; nothing may be left to ask."""
    hearing = ear.hear(said)
    assert () == hearing.choices
    return {one.finding: str(one.value) for one in hearing.facts if one.finding}


def found(ear: Ear, said: str) -> dict[str, str]:
    """Return finding to value, whatever else may be left to ask."""
    return {one.finding: str(one.value) for one in ear.hear(said).facts if one.finding}


def complaints(ear: Ear, said: str) -> set[str]:
    return {one.complaint for one in ear.hear(said).facts if one.complaint}


@given(FEW, st.sampled_from(["tries", "attempts", "starts"]), st.booleans())
@COMMON
def test_a_count_of_tries_is_no_code(ear: Ear, many: int, what: str, in_words: bool) -> None:
    """A number is a code only where it flashes, or is called a code, an error or a fault."""
    count = SPELT[many - 2] if in_words else str(many)
    said = f"{what} {count} times and then shows a fault, battery was 12.6 V at rest"
    assert {"volts at rest": "12.6 V"} == heard(ear, said)


@given(
    FEW,
    st.sampled_from(
        [
            "error {} on the panel",
            "it flashes {} times",
            "code {} on the display",
            "fault {}",
            "error {} shows on the display",
            "panel shows error {}",
            "it says fault {} there",
        ]
    ),
)
@COMMON
def test_a_code_is_a_code_and_nothing_else(ear: Ear, number: int, said: str) -> None:
    """What follows `error` is no temperature that the panel is set to."""
    assert {"flash count": str(number)} == heard(ear, said.format(number))
    assert {"shows a fault"} == complaints(ear, said.format(number))


@given(FEW, st.sampled_from(["blinks", "flashes"]))
@COMMON
def test_what_is_said_twice_is_no_contradiction(ear: Ear, number: int, what: str) -> None:
    """The same number again says nothing else; another number does."""
    again = f"{number} {what}, a pause, {number} {what}"
    assert {"flash count": str(number)} == heard(ear, again)
    with pytest.raises(NotUnderstood, match=r"says both .* of `flash count`; say which"):
        ear.hear(f"{number} {what}, a pause, {number + 1} {what}")


@pytest.mark.parametrize("said", ["flashes twice", "it blinks two times", "2 blinks"])
def test_twice_is_a_number(ear: Ear, said: str) -> None:
    """`Twice` counts what flashes as `two times` does."""
    assert {"flash count": "2"} == heard(ear, said)


@pytest.mark.parametrize("said", ["all is sound", "the pump cable is sound", "fuse and fan sound"])
def test_sound_is_no_noise(ear: Ear, said: str) -> None:
    """To be sound is to be as it should be."""
    assert "noise" not in complaints(ear, said)


@given(st.integers(1, 11), st.sampled_from(["am", "o'clock", "in the morning", "at night"]))
@COMMON
def test_a_time_of_day_measures_nothing(ear: Ear, hour: int, when: str) -> None:
    """At which hour an alarm went off is no reading."""
    assert {} == heard(ear, f"the co alarm went off at {hour} {when}")


PARTS = {
    "fuse": ("supply fuse", "sound"),
    "filter": ("filter", "clean"),
    "exhaust": ("exhaust pipe", "clear"),
}


@given(st.permutations(list(PARTS)))
@COMMON
def test_one_word_is_said_of_both(ear: Ear, parts: list[str]) -> None:
    """`Filter and exhaust are clean` says it of the two."""
    first, second = parts[:2]
    assert dict([PARTS[first], PARTS[second]]) == heard(ear, f"{first} and {second} are clean")


@given(st.sampled_from(["5", "10", "15", "20"]), st.sampled_from(["blown", "sound"]))
@COMMON
def test_what_has_an_amount_may_be_told_more_of(ear: Ear, amps: str, state: str) -> None:
    """`15 A fuse, blown` says what the fuse is and how it is."""
    said = f"{amps} A fuse, {state}"
    assert {"fuse rating": f"{amps} A", "supply fuse": state} == heard(ear, said)


@pytest.mark.parametrize(
    ("said", "finding", "value"),
    [
        ("12.3 V on the battery with everything off", "volts at rest", "12.3 V"),
        ("8.7 V on the glow plug itself during start", "volts at the glow plug", "8.7 V"),
    ],
)
def test_no_complaint_is_heard_among_the_words_of_a_reading(
    ear: Ear, said: str, finding: str, value: str
) -> None:
    """`On .. off` around a reading is no cycling, nor `itself .. start` a start by itself."""
    assert {finding: value} == heard(ear, said)
    assert set() == complaints(ear, said)


@pytest.mark.parametrize(
    ("said", "complaint"),
    [("it quits after 3 minutes", "lights then dies"), ("it dies after 2 min", "lights then dies")],
)
def test_a_length_of_time_is_still_time(ear: Ear, said: str, complaint: str) -> None:
    """Minutes in figures are minutes to phrases too; `quit` is no `quite`."""
    assert {complaint} == complaints(ear, said)


@pytest.mark.parametrize("asked", ["panel", "fan at start", "meaning of the code"])
@pytest.mark.parametrize("nth", [0, 1])
def test_a_mark_belongs_to_the_list_that_is_asked(ear: Ear, asked: str, nth: int) -> None:
    """A letter or number alone, or before a comma, names a state of the choice on the screen."""
    finding = ear.rulebook.findings[asked]
    mark = "ab"[nth] if finding.lettered else str(nth + 1)
    states = sorted(finding.choices) if finding.lettered else list(finding.choices)
    prompt = AskFinding(finding, None, opening=True, reason="")
    facts = ear.hear(f"{mark}, battery 12.6 V at rest", prompt).facts
    expected = [(asked, states[nth]), ("volts at rest", "12.6 V")]
    assert expected == [(one.finding, str(one.value)) for one in facts]


@pytest.mark.parametrize("word", ["lit", "dark", "nothing", "err"])
def test_a_word_is_no_code(ear: Ear, word: str) -> None:
    """At the question for a code one word without a digit is not taken for it."""
    prompt = AskFinding(ear.rulebook.findings["flash count"], None, opening=True, reason="")
    assert "flash count" not in {one.finding for one in ear.hear(word, prompt).facts}


def test_ten_thousand_words_get_one_sentence(ear: Ear) -> None:
    """However much of a kind is said, one sentence says how much is taken."""
    with pytest.raises(NotUnderstood, match="10000 words in one line; tell it in pieces"):
        ear.hear("noisy fan " * 5000)


VOLTS = st.sampled_from(["12.6", "12.1", "11.8", "24.8", "12,4", "13"])
PLACE = st.sampled_from(["battery", "the battery", "battery terminals", "the battery posts"])


@given(
    VOLTS,
    PLACE,
    st.sampled_from(["{} was {}", "{} {}", "{} reads {}", "{} is at {}", "{1} at {0}"]),
    st.sampled_from([" and ", ", and ", " and then "]),
    st.sampled_from(
        ["the fan just keeps running", "the pump ticks", "fan runs", "the pump is silent",
         "it tries three times and gives up", "the panel is dark", "the glow plug is black"]
    ),
    st.booleans(),
)  # fmt: skip
@settings(deadline=None, max_examples=120)
def test_a_number_stays_on_its_side_of_an_and(
    ear: Ear, volts: str, place: str, said: str, between: str, also: str, turned: bool
) -> None:
    """A bare number beside the battery is its volts, never what the thing behind an `and` draws,
    nor a count of anything there."""
    own = said.format(place, volts)
    line = f"{also}{between}{own}" if turned else f"{own}{between}{also}"
    numbers = {name: one for name, one in found(ear, line).items() if one[:1].isdecimal()}
    expected = str(parse_answer(volts, ear.rulebook.findings["volts at rest"]))
    assert {"volts at rest": expected} == numbers


@given(
    st.sampled_from(
        ["my wife", "my husband", "the kids", "he", "she", "I", "we", "the driver", "my mate",
         "our daughter", "a passenger", "one of us"]
    ),
    st.sampled_from(
        ["had a headache", "felt sick", "was dizzy", "got a headache", "felt unwell", "was sick",
         "had headaches"]
    ),
    st.sampled_from(["", " last night", " after an hour", " while it ran", " in the cab"]),
)  # fmt: skip
@settings(deadline=None, max_examples=200)
def test_whoever_felt_ill_is_heard_as_a_danger(ear: Ear, who: str, felt: str, when: str) -> None:
    """That somebody felt ill is heard as such, whoever it was and whenever."""
    assert "felt ill" in {one.finding.id for one in ear.hear(f"{who} {felt}{when}").dangers}
